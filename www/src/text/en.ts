// The words of the page itself. What is said about a recording comes ready from the reader.

import type { Problem } from '../protocol/messages';
import { shoot } from './en-shoot';

export const text = {
  private: 'Everything happens on this device. No recording leaves it.',
  offline: 'It works without a connection.',
  newVersion: 'A new version is ready.',
  newVersionCosts: 'Loading it stops what is being read or made.',
  useNewVersion: 'Load it now',
  skip: 'Skip to the sheet',

  link: 'The settings stand in the address of this page. A link to it opens them on any device; nothing is sent.',
  copyLink: 'Copy the link',
  linkCopied: 'The link is copied.',
  linkNotCopied: 'This browser did not let the page copy. Copy its address by hand.',
  clear: 'Clear all settings',
  stop: 'Stop',
  stopped: 'Stopped.',

  shoot,
  read: {
    invitation: 'Choose recordings, or drop them anywhere on this page.',
    explanation:
      'Plumbline finds the timecode in their sound, says where each begins and what is wrong with it, and puts all of them on one clock.',
    choose: 'Choose recordings',
    chooseFolder: 'Choose a folder',
    demo: 'Make a demo recording',
    formats:
      'WAV of any length; MOV, MP4 and M4A with several tracks of sound; CAF, AIFF, FLAC, MP3, AAC, Ogg, Matroska.',
    letGo: 'Let go to read',
    waiting: 'waiting for its turn',
    dropAgain: 'The recording itself is not at hand. Drop it on this page to read it.',
    notRead: (name: string) => `${name} has not been read.`,
    readBefore: 'read before',
    kept: (readings: number) =>
      `${readings === 1 ? 'One reading is' : `${readings} readings are`} kept on this device, so that the same file is not read twice. The recordings are not.`,
    forget: 'Clear the readings',
    leftAlone: (files: number) =>
      files === 1
        ? 'One file in the folder is no recording by its name, and was left alone.'
        : `${files} files in the folder are no recordings by their names, and were left alone.`,
    allRecordings: (all: number) => `‹ All ${all} recordings`,
    remove: 'Take it off the page',
    again: 'Read it again',
    another: 'Read another',
    json: 'Report (JSON)',
    csv: 'Report (CSV)',
    print: 'Print',
    startsAt: 'starts at',
    endsAt: 'ends at',
    unknownAddress: 'not known',
    recordings: 'Recordings',
    drawing: 'The code along the recording',
    drift: 'How its clock keeps',
    driftWords: (frames: string) =>
      `Frames by which the code is ahead of its rate, by the recorder’s clock: ${frames} from end to end.`,
    findings: 'Findings',
    suspected: 'Suspected',
    noFindings: 'Nothing that you need to know.',
    userBits: 'User bits',
    metadata: 'From the file itself',
    bits: 'The 80 bits of one codeword',
    bitsHint: 'Point at the drawing to see the codeword at that place, bit by bit.',
    bitsFirst: 'Show the first codeword',
    bitsNone: 'No codeword was read at this place.',
    earlier: 'Earlier',
    later: 'Later',
    place: 'Place in the recording',
    reverse: 'backwards',
    reading: (name: string) => `Reading ${name}`,
    makingDemo: 'Making a demo recording',
  },
} as const;

/** A problem as a verdict, an explanation and a remedy. */
export function problemInWords(problem: Problem): {
  verdict: string;
  text: string;
  remedy: string;
} {
  switch (problem.code) {
    case 'unreadable':
      return {
        verdict: 'This file can’t be read any further.',
        text: `The browser stopped giving its bytes: ${problem.detail}`,
        remedy:
          'It may be a folder, or have been moved, changed or unplugged. Check that it is there, then choose it again.',
      };
    case 'crashed':
      return {
        verdict: 'Reading this file broke the reader.',
        text: `That is a fault of Plumbline, not of the recording (${problem.detail}).`,
        remedy: 'Other files go on. Please send a report of the fault, with the file if you may.',
      };
  }
}

/** How long something will still take, in words. */
export function timeLeft(seconds: number): string {
  if (seconds < 1.5) return 'about a second left';
  if (seconds < 90) return `about ${Math.round(seconds)} s left`;
  return `about ${Math.round(seconds / 60)} min left`;
}

/** How long something took, in words. */
export function took(milliseconds: number): string {
  return milliseconds < 100
    ? 'read in less than 0.1 s'
    : `read in ${(milliseconds / 1000).toFixed(1)} s`;
}

export function fileSize(bytes: number): string {
  if (bytes < 1e6) return `${(bytes / 1e3).toFixed(1)} kB`;
  return bytes < 1e9 ? `${(bytes / 1e6).toFixed(1)} MB` : `${(bytes / 1e9).toFixed(2)} GB`;
}

/** Where in a file something was found: a chunk, a byte, or both. */
export function where(place: string | undefined, at: number | undefined): string {
  const chunk = place === undefined || place === 'file' ? '' : `In the chunk “${place}”`;
  const byte = at === undefined ? '' : `at byte ${at.toLocaleString('en')} of the file`;
  const both = [chunk, byte].filter((part) => part !== '').join(', ');
  return both === '' ? '' : `${both.charAt(0).toUpperCase()}${both.slice(1)}.`;
}
