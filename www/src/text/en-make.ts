// The words of the place Make. What a tone comes to, and what is wrong with it, comes ready from
// the maker.

import type { Field } from '../protocol/make';
import { fileWords, type JobWords, problemOf } from './en-files';

export const make = {
  title: 'Timecode tone',
  waiting: 'A timecode tone',
  says: 'What it says',
  sounds: 'How it sounds',
  moreSays: 'More: takes and flags',
  moreSounds: 'More: edges and polarity',
  again: 'Try again',
  notRight: 'Not right:',
  now: 'Now',
  nowWhat: 'Now: the first address from this device’s time of day',
  nowTaken: (zone: string) => `Taken from this device’s time of day, UTC${zone}.`,
  firstAddress: 'first address',
  lastAddress: 'last address',
  noAddress: '--:--:--:--',
  noValue: '–',

  toFile: 'To a file',
  toDisk: 'A WAV file with its start time, written straight to the disk and then read back.',
  toPage:
    'A WAV file with its start time, made in this page, read back, and then yours to save. This browser lets no page write straight to the disk, so the file is kept in the browser’s own store, or its memory, until then.',
  save: 'Save a file',
  makeFile: 'Make the file',
  another: 'Make another',
  goToWrong: 'Go to what is not right',
} as const;

/** What kept a tone from being made. */
export const makeProblemInWords = problemOf({
  way: 'The browser stopped the way to the file',
  room: 'Make room, or make a shorter file, at 16 bit or with one channel.',
  interrupted:
    'The disk may be full or have been unplugged, or the file may have been moved. Check it, then make the file again.',
  crashed: 'Try again; the settings are kept. Please send a report of the fault, with the link.',
});

/** How a file gets on. */
export const toneFileWords: JobWords = {
  ...fileWords,
  proves:
    'This was read from the file itself, from where it was written: its header, each codeword and the place where it begins. It can’t tell what a player or a cable makes of them.',
  notRight: make.notRight,
  problem: makeProblemInWords,
};

export const LABELS: Record<Field, string> = {
  rate: 'Frame rate',
  counting: 'Counting',
  start: 'First time address',
  until: 'Ends',
  length: 'Length',
  last: 'Last time address',
  user_bits_are: 'User bits',
  user_bits: 'Eight digits, group 8 first',
  characters: 'Four characters',
  date: 'Date, year first',
  spare: 'Two digits after the date',
  zone: 'Offset from UTC',
  colour_frame: 'Colour-frame flag',
  clock_time: 'Address is clock time',
  takes: 'Takes',
  silence: 'Silence between takes, s',
  jump: 'Jump between takes',
  sample_rate: 'Sample rate',
  samples: 'Sample format',
  level: 'Peak level, dBFS',
  rise_time: 'Rise time, µs',
  polarity: 'Polarity',
  beside: 'Second channel',
};

/** Choices that do not speak for themselves. */
export const CHOICE_WORDS: Partial<Record<Field, Record<string, string>>> = {
  counting: { 'non-drop': 'non-drop', drop: 'drop-frame' },
  until: { length: 'after a length', last: 'with a last address' },
  user_bits_are: {
    hex: 'digits',
    'day-month-year': 'date: day, month, year',
    'month-day-year': 'date: month, day, year',
    'year-month-day': 'date: year, month, day',
    'date-and-zone': 'date and time zone',
    characters: 'characters',
  },
  sample_rate: {
    44100: '44.1 kHz',
    48000: '48 kHz',
    88200: '88.2 kHz',
    96000: '96 kHz',
    176400: '176.4 kHz',
    192000: '192 kHz',
  },
  samples: { 16: '16 bit', 24: '24 bit', float: '32-bit float' },
  beside: {
    nothing: 'none',
    silence: 'silence',
    'line-up': '1 kHz line-up tone',
    blips: 'a blip each second',
  },
};

/** What somebody should know before they play a tone on anything. */
export const SOUND_CAUTIONS: readonly string[] = [
  'It is loud and unpleasant: take headphones off, and start low.',
  'A microphone input needs a pad of 30 to 40 dB, and its phantom power off.',
];

/** And before they let it out of this device. */
export const CAUTIONS: readonly string[] = [
  ...SOUND_CAUTIONS,
  'It is no trigger for pyrotechnics, lasers, flown scenery or stage automation: that is licensed work with its own certified control, under local rules.',
];
