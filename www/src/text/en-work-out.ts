// The words of the place Work out. What sums come to, and what is wrong with them, comes ready
// from there.

import type { Part } from '../page/work-out/sums';

export const workOut = {
  waiting: 'Type an address, or choose another sum.',
  parts: 'Sums',
  notRight: 'Not right:',
  copy: 'Copy',
  copied: 'Copied',
  notCopied: 'Not copied',
  keypad: 'Keypad',
  keyboard: 'Use the keyboard',
  keys: {
    ':': 'colon',
    ';': 'semicolon',
    '.': 'point',
    ' ': 'space',
    back: 'delete',
    '+': 'plus',
    '-': 'minus',
    '*': 'times',
    '/': 'divided by',
  } as Record<string, string>,
  lines: 'Line by line',
  total: 'Total',
  totalSoFar: 'Total so far:',
  syntax: 'What can be written',
  tryIt: 'Try it',
  rows: 'Row by row',
  columns: ['Line', 'Label', 'In', 'Out', 'Length', 'Total so far', 'What to know'],
  linesHidden: (hidden: number) =>
    `${hidden.toLocaleString('en')} more lines are not shown here. They are counted in all of the above, and stand in the list that is saved.`,
  csv: 'The list (CSV)',
  csvName: 'list.csv',
  broken: (detail: string) => `Working this out broke. That is a fault of Plumbline (${detail}).`,
  brokenRemedy:
    'Change what was typed last, or load the page anew: what you typed is kept. Please send a report of the fault, with the link.',
  again: 'Load the page anew',
} as const;

export const PARTS: Record<Part, string> = {
  address: 'One address',
  worksheet: 'Worksheet',
  rows: 'A list',
  clocks: 'Clocks',
  speeds: 'Rates',
  user_bits: 'User bits',
};

const RATE = { rate: 'Frame rate', counting: 'Counting' };
const SAMPLE_RATE = { sample_rate: 'Sample rate, Hz' };

export const LABELS: Record<Part, Record<string, string>> = {
  address: { kind: 'What is typed', text: 'Address, count or time', ...RATE, ...SAMPLE_RATE },
  worksheet: { ...RATE, ...SAMPLE_RATE, text: 'Lines of arithmetic' },
  rows: {
    ...RATE,
    rows_are: 'Each row has',
    outs: 'The out point is',
    pair: 'Of four addresses',
    text: 'The list, pasted',
  },
  clocks: {
    ...RATE,
    drift: 'Drift',
    drift_is: 'Drift is in',
    day: 'Shooting day, hours',
    first_tolerance: 'First clock, ± ppm',
    second_tolerance: 'Second clock, ± ppm',
    temperature: 'Temperature, °C',
    first_before: 'First device, at first',
    second_before: 'Second device, at first',
    first_after: 'First device, later',
    second_after: 'Second device, later',
    reading: 'Read to within, ± frames',
  },
  speeds: {
    shot: 'Shot at',
    played: 'Played at',
    counting: 'Counting',
    duration: 'How long it is',
    ...SAMPLE_RATE,
  },
  user_bits: {
    user_bits_are: 'What is typed',
    user_bits: 'Eight digits, group 8 first',
    flags: 'Flags BGF2, BGF1, BGF0',
    characters: 'Four characters',
    date: 'Date, year first',
    spare: 'Two digits after the date',
    zone: 'Offset from UTC',
    clock_time: 'Address is clock time',
  },
};

/** What there is to say about a field in any case. */
export const NOTES: Record<Part, Record<string, readonly string[]>> = {
  address: {},
  worksheet: {},
  rows: {},
  clocks: {},
  speeds: {},
  user_bits: {},
};

/** Choices that do not speak for themselves. */
export const CHOICE_WORDS: Record<string, string> = {
  drop: 'drop-frame',
  'time-address': 'time address',
  'frame-count': 'frames since midnight',
  duration: 'time since midnight',
  'sample-position': 'samples since midnight',
  'time-reference': 'bext time reference',
  'in-and-out': 'in and out points',
  durations: 'lengths',
  exclusive: 'the first frame after',
  inclusive: 'the last frame within',
  first: 'the first two count',
  last: 'the last two count',
  ppm: 'ppm',
  'frames-an-hour': 'frames an hour',
  'frames-a-day': 'frames a shooting day',
  'milliseconds-an-hour': 'ms an hour',
  hex: 'digits, to be read',
  'day-month-year': 'date: day, month, year',
  'month-day-year': 'date: month, day, year',
  'year-month-day': 'date: year, month, day',
  characters: 'characters',
  'date-and-zone': 'date and time zone',
  'julian-date-and-zone': 'date and time zone, as a day number',
};
