// Why listening came to its end. The words are in text/en-listen.ts.

export type Because =
  /** Somebody stopped it. */
  | 'asked'
  /** This browser, or this way of opening the page, has no inputs. */
  | 'not-to-be-had'
  /** The input may not be used. */
  | 'refused'
  /** There is none. */
  | 'no-input'
  /** Something else has it. */
  | 'taken'
  /** It was unplugged or switched off. */
  | 'vanished'
  /** It has another number of channels now. */
  | 'channels'
  /** The browser put the sound aside. */
  | 'suspended'
  /** The browser froze the page. */
  | 'frozen'
  /** Something of ours broke. */
  | 'broken';

/** Thrown while opening, told while listening. */
export class Stopped extends Error {
  constructor(
    readonly because: Because,
    /** What the browser says about it. */
    readonly detail = '',
  ) {
    super(`${because}: ${detail}`);
  }
}

/** Whatever was thrown, as an end. */
export function asStopped(error: unknown): Stopped {
  if (error instanceof Stopped) return error;
  return new Stopped('broken', error instanceof Error ? error.message : String(error));
}
