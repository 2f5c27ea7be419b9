// The fields of each part, in order, and what can be chosen in them. The words are in
// text/en-work-out.ts.

import { RATES } from '../rates';
import type { Part } from './sums';

/** A field: what can be chosen, or how it is typed. */
export type Spec = {
  field: string;
  choices?: readonly string[];
  lines?: number;
  /** Typed with digits and separators only, which the keypad has. */
  keypad?: boolean;
  /** Whether it has a meaning beside the others; one that has none is not shown. */
  applies?: (form: Record<string, string>) => boolean;
};

const rate: Spec = { field: 'rate', choices: RATES };
const counting: Spec = { field: 'counting', choices: ['non-drop', 'drop'] };
const sampleRate: Spec = { field: 'sample_rate' };
const typed = (field: string): Spec => ({ field, keypad: true });
const is = (...kinds: string[]) => ({
  applies: ({ user_bits_are: are }: Record<string, string>) => kinds.includes(are ?? ''),
});
const ORDERS = ['day-month-year', 'month-day-year', 'year-month-day'] as const;
const ZONED = ['date-and-zone', 'julian-date-and-zone'] as const;

export const FIELDS: Record<Part, readonly Spec[]> = {
  address: [
    {
      field: 'kind',
      choices: ['time-address', 'frame-count', 'duration', 'sample-position', 'time-reference'],
    },
    typed('text'),
    rate,
    counting,
    sampleRate,
  ],
  worksheet: [rate, counting, sampleRate, { field: 'text', lines: 8, keypad: true }],
  rows: [
    rate,
    counting,
    { field: 'rows_are', choices: ['in-and-out', 'durations'] },
    {
      field: 'outs',
      choices: ['exclusive', 'inclusive'],
      applies: (form) => form['rows_are'] === 'in-and-out',
    },
    {
      field: 'pair',
      choices: ['first', 'last'],
      applies: (form) => form['rows_are'] === 'in-and-out',
    },
    { field: 'text', lines: 8 },
  ],
  clocks: [
    rate,
    counting,
    typed('drift'),
    {
      field: 'drift_is',
      choices: ['ppm', 'frames-an-hour', 'frames-a-day', 'milliseconds-an-hour'],
    },
    typed('day'),
    typed('first_tolerance'),
    typed('second_tolerance'),
    typed('temperature'),
    typed('first_before'),
    typed('second_before'),
    typed('first_after'),
    typed('second_after'),
    typed('reading'),
  ],
  speeds: [
    { field: 'shot', choices: RATES },
    { field: 'played', choices: RATES },
    counting,
    typed('duration'),
    sampleRate,
  ],
  user_bits: [
    { field: 'user_bits_are', choices: ['hex', ...ORDERS, 'characters', ...ZONED] },
    { field: 'user_bits', ...is('hex') },
    { field: 'flags', ...is('hex'), keypad: true },
    { field: 'characters', ...is('characters') },
    { field: 'date', ...is(...ORDERS, ...ZONED), keypad: true },
    { field: 'spare', ...is(...ORDERS) },
    { field: 'zone', ...is(...ZONED), keypad: true },
    {
      field: 'clock_time',
      choices: ['no', 'yes'],
      applies: (form) => form['user_bits_are'] !== 'hex',
    },
  ],
};
