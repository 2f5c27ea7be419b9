// Everything that crosses the border between the page and the worklet that plays code, and what
// the module in both of them exports.

/** An order for code: the bytes that the module takes. */
export type Order = readonly number[];

/** What the worklet is made with. */
export type PlayerOptions = {
  module: WebAssembly.Module;
  /** What it is to be ready for; it plays when it is told to. */
  order: Order;
};

export type ToPlayer =
  /** Plays an order from the next sample on, instead of what was played before. */
  | { kind: 'play'; order: Order }
  /** The screen is about to flash with a codeword. */
  | { kind: 'flash' }
  /** Nothing will be asked of it any more. */
  | { kind: 'end' };

export type FromPlayer =
  | { kind: 'ready' }
  | ({ kind: 'codeword' } & Codeword)
  | ({ kind: 'flash' } & Codeword)
  /** It plays no more: samples were missing, or the module broke. */
  | { kind: 'ended'; because: 'missing' | 'broken'; detail: string };

/** A codeword, and the sample of the output at which it begins. */
export type Codeword = { sample: number; address: string };

/** The functions that crates/live exports: there is said what they do. */
export type LiveModule = {
  readonly memory: { readonly buffer: ArrayBuffer };
  order_byte(byte: number): void;
  prepare(): number;
  play(next: number): number;
  render(from: number, count: number): number;
  samples(): number;
  begun(): number;
  flash(): number;
  watch(): number;
  read_clocks(
    unixMilliseconds: number,
    pageMilliseconds: number,
    outputSeconds: number,
    outputMilliseconds: number,
    madeSeconds: number,
    latencySeconds: number,
  ): number;
  check(): number;
  output_sample(ahead: number): number;
  latency(): number;
  known_by(): number;
  parted(): void;
  text(): number;
  text_length(): number;
};

/** What functions give that may fail; then there is a text. */
export const DONE = 0;

/** Hands an order over to the next function that takes one. */
export function handOver(module: LiveModule, order: Order): void {
  for (const byte of order) module.order_byte(byte);
}

/** The bytes of the module's last text. */
export function textOf(module: LiveModule): Uint8Array {
  return new Uint8Array(module.memory.buffer, module.text(), module.text_length());
}
