// What stands in the fields, kept on this device and in the fragment of the page's address:
// `#work-out?part=clocks&drift=5`.

import { filled, keepOnDevice, keptOnDevice } from '../on-device';
import type { Forms, Part } from './sums';

const PLACE = '#work-out';
const KEY = 'plumbline.work-out';

export type Kept = { part: Part; forms: Forms };

/** What an address says, on top of what was kept, on top of what is there by itself. */
export function recall(forms: Forms, fragment: string): Kept {
  return linked(fragment, fromDevice(forms), forms);
}

/** Keeps it on this device. */
export function keep(kept: Kept): void {
  keepOnDevice(KEY, kept);
}

/** The fragment that shows the part with what stands in its fields. */
export function toFragment({ part, forms }: Kept, plain: Forms): string {
  const form: Record<string, string> = forms[part];
  const usual: Record<string, string> = plain[part];
  const told = Object.keys(usual).filter((field) => form[field] !== usual[field]);
  const query = new URLSearchParams([
    ['part', part],
    ...told.map((field): [string, string] => [field, form[field] ?? '']),
  ]).toString();
  // A colon and a semicolon may stand in a fragment as they are, and read better so.
  return `${PLACE}?${query.replaceAll('%3A', ':').replaceAll('%3B', ';')}`;
}

/** Whether an address shows this place. */
export function isHere(fragment: string): boolean {
  return fragment === PLACE || fragment.startsWith(`${PLACE}?`);
}

function linked(fragment: string, kept: Kept, plain: Forms): Kept {
  if (!fragment.startsWith(`${PLACE}?`)) return kept;
  const query = new URLSearchParams(fragment.slice(PLACE.length + 1));
  const part = query.get('part');
  if (part === null || !isPart(part, plain)) return kept;
  return { part, forms: { ...kept.forms, [part]: filled(plain[part], Object.fromEntries(query)) } };
}

function fromDevice(plain: Forms): Kept {
  const stored = (keptOnDevice(KEY) ?? {}) as { part?: unknown; forms?: Record<string, unknown> };
  const kept = { part: 'address' as Part, forms: plain };
  for (const name of Object.keys(plain) as Part[]) {
    kept.forms = { ...kept.forms, [name]: filled(plain[name], stored.forms?.[name]) };
  }
  const { part } = stored;
  return typeof part === 'string' && isPart(part, plain) ? { ...kept, part } : kept;
}

function isPart(name: string, plain: Forms): name is Part {
  return Object.hasOwn(plain, name);
}
