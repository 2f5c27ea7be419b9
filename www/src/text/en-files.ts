// The words of any file that is made.

import type { MakeProblem } from '../protocol/make';

/** What is said about a file of one kind. */
export type JobWords = {
  writing: (name: string) => string;
  readingBack: (name: string) => string;
  whole: (name: string, size: string) => string;
  /** What a file that was read back and is right proves. */
  proves: string;
  notRight: string;
  unproved: string;
  stopped: (name: string) => string;
  failed: (name: string) => string;
  problem: (problem: MakeProblem) => { text: string; remedy: string };
};

/** What is said of any file that is made. */
export const fileWords = {
  writing: (name: string) => `Writing ${name}`,
  readingBack: (name: string) => `Reading ${name} back`,
  whole: (name: string, size: string) => `${name} is written, ${size}.`,
  stopped: (name: string) => `Stopped. Nothing of ${name} was kept.`,
  failed: (name: string) => `${name} could not be made, and nothing of it was kept.`,
  unproved: 'It was not read back to its end, so nothing here proves what it says.',
} as const;

export const saveIt = 'Save it';
