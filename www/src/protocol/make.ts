// Everything that crosses the border between the page and the worker that makes files.

import type {
  LiveAnswer,
  LiveRequest,
  Outcome as Made,
  Settings as Typed,
  Sketch,
  StampOrder,
  StampOutcome,
} from '../wasm/plumbline';
import type { Progress } from './messages';

export type { Sketch, StampOrder };

/** What reading a file back says. */
export type Outcome = Made | StampOutcome;

/** All the settings of a tone, as typed. */
export type Settings = Required<Typed>;

export type Field = keyof Settings;

/** This device's clock: milliseconds since 1970 in UTC, and minutes by which it is east of UTC. */
export type Now = { milliseconds: number; offset: number };

export type ToMaker =
  | { kind: 'defaults'; request: number; now: Now }
  | { kind: 'sketch'; request: number; settings: Settings }
  | { kind: 'address'; request: number; settings: Settings; now: Now }
  /** The order for live code. */
  | { kind: 'order'; request: number; settings: Settings; live: LiveRequest }
  | (JobOrder & { job: number })
  | { kind: 'stop'; job: number }
  /** The way of the bytes without the making, for the benchmark alone. */
  | { kind: 'zeros-only'; job: number; bytes: number; to: FileSystemFileHandle | undefined };

/** A file to be made: straight to the disk where there is a handle, else as a Blob. */
export type JobOrder =
  | { kind: 'make'; settings: Settings; to: FileSystemFileHandle | undefined }
  /** A copy of a recording with the code's start in it. The recording is only read. */
  | { kind: 'stamp'; file: File; order: StampOrder; to: FileSystemFileHandle | undefined };

/** An answer to a request. */
export type Answer =
  | { kind: 'defaults'; request: number; defaults: Defaults }
  | { kind: 'sketch'; request: number; sketch: Sketch }
  | { kind: 'address'; request: number; address: string | undefined }
  | { kind: 'order'; request: number; answer: LiveAnswer }
  | { kind: 'request-failed'; request: number; problem: MakeProblem };

/** What a job says on its way; the last one is `made`, `stopped` or `failed`. */
export type JobEvent =
  | { kind: 'writing'; job: number; progress: Progress }
  /** The file stands whole; there is a Blob where it is not on the disk already. */
  | { kind: 'written'; job: number; blob: Blob | undefined; bytes: number }
  | { kind: 'reading-back'; job: number; progress: Progress }
  | { kind: 'made'; job: number; outcome: Outcome; cost: MakingCost }
  | { kind: 'stopped'; job: number }
  | { kind: 'failed'; job: number; problem: MakeProblem }
  | { kind: 'zeros-passed'; job: number; cost: MakingCost };

export type FromMaker = Answer | JobEvent;

/** What a field holds before somebody types: always, and with this day's date and zone. */
export type Defaults = { fixed: Settings; today: Settings };

/** What making took: milliseconds, and the size of the module's memory in bytes. */
export type MakingCost = { writing: number; readingBack: number; memory: number };

/** What kept a file from being made or read back. The words are in text/en-make.ts and, for
 * stamped copies, in text/en-stamp.ts. */
export type MakeProblem =
  /** The recording can't be stamped; the words come with it. */
  | { code: 'refused'; detail: string; remedy: string }
  /** No room on the disk, or in what the browser may use of it. */
  | { code: 'no-room'; detail: string }
  /** The browser stopped taking or giving the file's bytes. */
  | { code: 'interrupted'; detail: string }
  /** The maker itself broke; its worker must be ended. */
  | { code: 'crashed'; detail: string };
