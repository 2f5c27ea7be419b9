// Everything that crosses the border between the page and its worker.

import type {
  CodewordReading,
  Correction,
  Corrections,
  Fact,
  Reading,
  Sheet as SavedShoot,
  Shoot,
  SoundAnswer,
  SoundLine,
  SoundPrior,
  Summary,
} from '../wasm/plumbline';

export type {
  CodewordReading,
  Correction,
  Corrections,
  Fact,
  Reading,
  SavedShoot,
  Shoot,
  SoundLine,
  SoundPrior,
  Summary,
};

export type ToWorker =
  | { kind: 'read'; job: number; file: File }
  | { kind: 'demo'; job: number; demo: Demo }
  | { kind: 'stop'; job: number }
  | { kind: 'codeword'; request: number; file: File; place: Place }
  | ({ kind: 'by-sound'; job: number } & SoundOrder)
  /** The way of the bytes without the reading, for the benchmark alone. */
  | { kind: 'bytes-only'; job: number; file: File };

/** A recording that is made up: one alone, or one of a day by its number. */
export type Demo = 'alone' | number;

export type FromWorker =
  /** The demo recording has been made; its reading follows. */
  | { kind: 'made'; job: number; file: File }
  | { kind: 'progress'; job: number; progress: Progress; reading: Reading }
  | { kind: 'read'; job: number; reading: Reading; csv: string; cost: Cost; ending: Ending }
  | { kind: 'failed'; job: number; problem: Problem }
  | { kind: 'codeword'; request: number; codeword: CodewordReading | undefined }
  /** Places of the file can't be read again. */
  | { kind: 'codeword-refused'; request: number; why: string }
  | { kind: 'codeword-failed'; request: number; problem: Problem }
  /** How far the listening is. */
  | { kind: 'listening'; job: number; progress: Progress }
  | { kind: 'by-sound'; job: number; outcome: SoundOutcome }
  | { kind: 'bytes-passed'; job: number; cost: Cost };

/** Two recordings to be lined up by their sound: the second beside the first, by its key. */
export type SoundOrder = {
  beside: string;
  first: SoundFile;
  second: SoundFile;
  /** Among which offsets to look, where somebody said so. */
  prior: SoundPrior | undefined;
};

/** A recording, what it is kept under, and its channels with code, counted from 0. */
export type SoundFile = { key: string; file: File; coded: readonly number[] };

export type SoundOutcome = SoundAnswer | { is: 'stopped' };

/** A place in the code of a channel, whose rate is named as in the report. */
export type Place = { channel: number; rate: string; second: number };

/** How far the reading has come, in bytes of the recording. */
export type Progress = { done: number; total: number };

/** What the reading took: the time, and the size of the module's memory in bytes. */
export type Cost = { milliseconds: number; memory: number };

/** How a reading came to its end; if not whole, the report says how much was read. */
export type Ending = { is: 'whole' } | { is: 'stopped' } | { is: 'broken-off'; problem: Problem };

/** What went wrong outside of the reading itself. The words that people read are in text/en.ts. */
export type Problem =
  /** The browser stopped giving the file's bytes. */
  | { code: 'unreadable'; detail: string }
  /** The reader itself broke; its worker must be ended. */
  | { code: 'crashed'; detail: string };

/** Makes the compiler object when a new kind is not handled. */
export function unreachable(value: never): never {
  throw new Error(`unhandled message: ${JSON.stringify(value)}`);
}
