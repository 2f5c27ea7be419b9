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
  madeFrom: (channel: number) => `the code on channel ${channel + 1}`,
  elsewhere: (name: string) => `${name} is being made; a copy of this one comes after it.`,
} as const;

/** Stamped copies of all recordings that have a place. */
export const copies = {
  title: 'Stamped copies',
  explanation:
    'A copy of each WAV with its place on this sheet in bext and iXML: by its code, by its sound or as you put it. Choose the folder once; the copies get names of their own there, and nothing is replaced. Each is read back and compared.',
  leftOut: (all: readonly { file: string; why: string | undefined }[]) => {
    const said = all
      .slice(0, 5)
      .map(({ file, why }) => `${file} (${why ?? 'its file is not here'})`);
    const more = all.length > 5 ? `, and ${all.length - 5} more` : '';
    return `No copy of ${said.join(', ')}${more}.`;
  },
  noFolders:
    'This browser can’t write into a folder. The sheet of each recording makes a copy of that one.',
  button: (recordings: number) =>
    recordings === 1 ? 'Make one stamped copy' : `Make ${recordings} stamped copies`,
  working: (name: string, number: number, all: number) => `${number} of ${all}: ${name}`,
  ended: (right: number, all: number, stopped: boolean) => {
    const whole = right === all ? `All ${all}` : `${right} of ${all}`;
    const made = all === 1 && right === 1 ? 'The copy is' : `${whole} copies are`;
    return `${stopped ? 'Stopped. ' : ''}${made} made, read back and the same.`;
  },
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
