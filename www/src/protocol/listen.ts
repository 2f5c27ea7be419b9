// Everything that crosses the borders between the page, the worklet that captures and the worker
// that listens.

import type { FoundIn, Heard, Held, InputFacts, Planned, Ticking } from '../wasm/plumbline';

export type { FoundIn, Heard, Held, InputFacts, Planned, Ticking };

/** What the worklet is told, once: where the sound goes. */
export type ToCapture = { kind: 'to'; port: MessagePort };

/** Sound on its way from the worklet to the worker, a plane for each channel. */
export type Captured = { number: number; planes: Float32Array<ArrayBuffer>[] };

/** What the worklet tells the page: how many channels the input has now. */
export type FromCapture = { kind: 'channels'; channels: number };

export type ToListener =
  | { kind: 'begin'; input: InputFacts; sound: MessagePort }
  /** How many samples the input had counted at a moment of the page's clock. */
  | { kind: 'clock'; pageMilliseconds: number; samples: number }
  | { kind: 'plan'; planned: Planned }
  | { kind: 'held'; ticking: Ticking | undefined }
  | { kind: 'jam'; channel: number; pageMilliseconds: number };

export type FromListener =
  | { kind: 'heard'; heard: Heard }
  | { kind: 'found'; found: readonly FoundIn[] }
  /** A clock set from a channel's code; none where no code runs there. */
  | { kind: 'jammed'; held: Held | undefined }
  | { kind: 'broken'; detail: string };
