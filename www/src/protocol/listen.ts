// Everything that crosses the border between the page and the worker that listens.

import type { FoundIn, Heard, Held, InputFacts, Planned, Ticking } from '../wasm/plumbline';

export type { FoundIn, Heard, Held, InputFacts, Planned, Ticking };

export type ToListener =
  | { kind: 'begin'; input: InputFacts; sound: MessagePort }
  /** How many samples the input had counted at a moment of the page's clock. */
  | { kind: 'clock'; pageMilliseconds: number; samples: number }
  | { kind: 'plan'; planned: Planned }
  | { kind: 'held'; ticking: Ticking | undefined }
  | { kind: 'jam'; channel: number; pageMilliseconds: number }
  | { kind: 'record' }
  /** Record no more: what was recorded is to be handed over. */
  | { kind: 'end-record' };

export type FromListener =
  | { kind: 'heard'; heard: Heard }
  | { kind: 'found'; found: readonly FoundIn[] }
  /** A clock set from a channel's code; none where no code runs there. */
  | { kind: 'jammed'; held: Held | undefined }
  | { kind: 'recording' }
  | { kind: 'recorded'; recorded: Recorded | undefined }
  | { kind: 'not-recorded'; detail: string }
  | { kind: 'broken'; detail: string };

/** A recording of what was heard. */
export type Recorded = { name: string; startsAt: string | undefined; file: Blob };
