// Why live code came to its end. The words are in text/en-live.ts.

import type { Problem } from '../../../wasm/plumbline';

export type Because =
  /** Somebody stopped it. */
  | 'asked'
  /** The page was left. */
  | 'left'
  /** The clock that was to be played out is not held any more. */
  | 'let-go'
  /** Settings are not right. */
  | 'wrong'
  /** The browser gives no sound. */
  | 'no-sound'
  /** Samples were missing between two that were made. */
  | 'missing'
  /** Sound was lost on its way, or its clock ran away. */
  | 'moved'
  /** No code was made any more. */
  | 'silent'
  /** The browser put the sound aside. */
  | 'suspended'
  /** Something else took the output, such as a call. */
  | 'interrupted'
  /** The browser closed the output. */
  | 'closed'
  /** A sound device came or went. */
  | 'devices'
  /** The output became another one. */
  | 'sink'
  /** The browser froze the page. */
  | 'frozen'
  /** The player itself broke. */
  | 'broken';

/** Thrown while starting, told while playing. */
export class Ended extends Error {
  constructor(
    readonly because: Because,
    /** What the module or the browser says about it. */
    readonly detail = '',
    readonly problems: readonly Problem[] = [],
  ) {
    super(`${because}: ${detail}`);
  }
}

/** Whatever was thrown, as an end. */
export function asEnded(error: unknown): Ended {
  if (error instanceof Ended) return error;
  return new Ended('broken', error instanceof Error ? error.message : String(error));
}
