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

/** What differs between files of different kinds where one could not be made. */
export type ProblemWords = {
  /** What the browser stopped. */
  way: string;
  /** What to do where there is no room, where the way was stopped, and where we broke. */
  room: string;
  interrupted: string;
  crashed: string;
};

/** What kept a file from being made, as an explanation and a remedy. */
export function problemOf(words: ProblemWords): JobWords['problem'] {
  return (problem) => {
    switch (problem.code) {
      case 'refused':
        return { text: problem.detail, remedy: problem.remedy };
      case 'no-room':
        return {
          text: 'There is no room for it: the disk is full, or the browser may use no more of it.',
          remedy: words.room,
        };
      case 'interrupted':
        return { text: `${words.way}: ${problem.detail}`, remedy: words.interrupted };
      case 'crashed':
        return {
          text: `That is a fault of Plumbline (${problem.detail}).`,
          remedy: words.crashed,
        };
    }
  };
}
