// What can be chosen, and how a field is filled in. The words are in text/en-make.ts.

import type { Field, Settings } from '../../protocol/make';
import { RATES } from '../rates';

/** The values of the fields that are chosen from a list. */
export const CHOICES = {
  rate: RATES,
  counting: ['non-drop', 'drop'],
  until: ['length', 'last'],
  user_bits_are: [
    'hex',
    'day-month-year',
    'month-day-year',
    'year-month-day',
    'date-and-zone',
    'characters',
  ],
  colour_frame: ['clear', 'set'],
  clock_time: ['no', 'yes'],
  sample_rate: ['44100', '48000', '88200', '96000', '176400', '192000'],
  samples: ['16', '24', 'float'],
  polarity: ['upright', 'inverted'],
  beside: ['nothing', 'silence', 'line-up', 'blips'],
} as const satisfies Partial<Record<Field, readonly string[]>>;

export type ChosenField = keyof typeof CHOICES;
export type TypedField = Exclude<Field, ChosenField>;

export function isChosen(field: Field): field is ChosenField {
  return field in CHOICES;
}

/** Fields with nothing but digits and separators, for which a phone shows its digits. */
const DIGITS: readonly Field[] = ['start', 'last', 'takes', 'silence', 'rise_time'];

export function inputMode(field: TypedField): 'decimal' | 'text' {
  return DIGITS.includes(field) ? 'decimal' : 'text';
}

const ORDERS = ['day-month-year', 'month-day-year', 'year-month-day'];

/** Whether a field has a meaning beside the others; one that has none is not shown. */
export function applies(field: Field, settings: Settings): boolean {
  const { user_bits_are: are, until, takes } = settings;
  switch (field) {
    case 'length':
      return until !== 'last';
    case 'last':
      return until === 'last';
    case 'date':
      return are === 'date-and-zone' || ORDERS.includes(are);
    case 'zone':
      return are === 'date-and-zone';
    case 'spare':
      return ORDERS.includes(are);
    case 'characters':
      return are === 'characters';
    case 'user_bits':
      return are === 'hex';
    case 'silence':
    case 'jump':
      return takes.trim() !== '1';
    default:
      return true;
  }
}
