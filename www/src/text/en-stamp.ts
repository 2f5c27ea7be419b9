// The words of stamped copies. What came of one comes ready from the maker.

import { fileWords, type JobWords, problemOf } from './en-files';

export const stamp = {
  title: 'A stamped copy',
  explanation:
    'A copy of the recording with the start of its code in bext and iXML, where editing programs look for it. Everything else in it stays as it is, and the recording itself is not touched.',
  toDisk:
    'Choose the folder that it goes into. It gets a name of its own there; nothing is replaced.',
  toPage:
    'It is made in this page, read back, and then yours to save. Until then it is kept in the browser’s own store, so there must be room for it twice.',
  button: 'Stamped copy',
  another: 'Stamped copy, anew',
  notWav:
    'Only a WAV has a place for the start of the code. To get a stamped copy, save the sound as WAV, whole and at the same sample rate, and read that.',
  start: 'Start from',
  channels: 'Channels in the copy',
  all: 'all',
  withoutCode: 'all but the code',
  channel: (channel: number, start: string) => `channel ${channel + 1}, ${start}`,
  elsewhere: (name: string) => `${name} is being made; a copy of this one comes after it.`,
} as const;

/** How a stamped copy gets on. */
export const stampWords: JobWords = {
  ...fileWords,
  proves:
    'This was read from the copy itself, from where it was written: what its header says, and its sound, against that of the recording.',
  notRight: 'Not right:',
  problem: problemOf({
    way: 'The browser stopped the way from the recording to the copy',
    room: 'Make room for a file as long as the recording, then make the copy again.',
    interrupted:
      'The recording may have been moved or changed, or a disk be full or unplugged. Check both, then choose the recording again.',
    crashed: 'The recording is as it was. Please send a report of the fault.',
  }),
};
