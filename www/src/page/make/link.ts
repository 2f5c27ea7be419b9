// Settings in the fragment of the page's address: `#make?rate=24&start=01:00:00:00`.

import type { Field, Settings } from '../../protocol/make';
import { applies } from './choices';

const PLACE = '#make';

/** The fragment for settings: those that are told. */
export function toFragment(settings: Settings, fixed: Settings): string {
  const told = fieldsOf(fixed).filter((field) => isTold(field, settings, fixed));
  const query = new URLSearchParams(told.map((field) => [field, settings[field]])).toString();
  // A colon and a semicolon may stand in a fragment as they are, and read better so.
  return `${PLACE}?${query.replaceAll('%3A', ':').replaceAll('%3B', ';')}`;
}

/** What is by itself as the day and the place of a device have it: another device has others. */
const BY_DEVICE: readonly Field[] = ['date', 'zone'];

/** Whether a field has a meaning and is not what it is by itself on every device. */
export function isTold(field: Field, settings: Settings, fixed: Settings): boolean {
  const goesWithoutSaying = settings[field] === fixed[field] && !BY_DEVICE.includes(field);
  return applies(field, settings) && !goesWithoutSaying;
}

/** The settings of a fragment, where it has any; what it does not name is as in `defaults`. */
export function fromFragment(fragment: string, defaults: Settings): Settings | undefined {
  if (!fragment.startsWith(`${PLACE}?`)) return undefined;
  const query = new URLSearchParams(fragment.slice(PLACE.length + 1));
  const settings = { ...defaults };
  for (const field of fieldsOf(defaults)) settings[field] = query.get(field) ?? defaults[field];
  return settings;
}

/** Whether an address shows this place, with settings or without. */
export function isHere(fragment: string): boolean {
  return fragment === PLACE || fragment.startsWith(`${PLACE}?`);
}

function fieldsOf(settings: Settings): Field[] {
  return Object.keys(settings) as Field[];
}
