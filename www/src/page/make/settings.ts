// What stands in the fields, and what it comes to. Kept while another place is shown.

import { computed, effect, type ReadonlySignal, signal } from '@preact/signals';
import type { Defaults, Field, MakeProblem, Now, Settings, Sketch } from '../../protocol/make';
import { fromFragment, isHere, toFragment } from './link';
import { maker } from './maker';

/** Milliseconds without a key before the address of the page takes the settings in: some
 * browsers refuse to change it at every key. */
const PAUSE = 400;

const typed = signal<Settings | undefined>(undefined);
const answered = signal<{ settings: Settings; sketch: Sketch } | undefined>(undefined);
const broken = signal<MakeProblem | undefined>(undefined);
let defaults: Defaults | undefined;
let begun = false;

/** What stands in the fields; undefined until the defaults are there. */
export const settings: ReadonlySignal<Settings | undefined> = typed;

/** What is known of the settings: of those before, while the answer to the newest is on its way. */
export const sketch: ReadonlySignal<Sketch | undefined> = computed(() => answered.value?.sketch);

/** Whether the sketch is that of what stands in the fields now. */
export const settled: ReadonlySignal<boolean> = computed(
  () => answered.value !== undefined && answered.value.settings === typed.value,
);

/** What broke the maker, if it is broken. */
export const trouble: ReadonlySignal<MakeProblem | undefined> = broken;

/** What the fields came to when all was right with them; undefined while something is not. */
export const makeable: ReadonlySignal<{ settings: Settings; name: string } | undefined> = computed(
  () => {
    const name = answered.value?.sketch.file_name;
    if (!settled.value || typed.value === undefined || name === undefined) return undefined;
    return { settings: typed.value, name };
  },
);

/** Fills the fields for the first time: from the page's address, else with the defaults. */
export async function begin(): Promise<void> {
  if (begun) return writeLink();
  begun = true;
  broken.value = undefined;
  const answer = await maker.ask({ kind: 'defaults', now: now() });
  if (answer.kind !== 'defaults') {
    begun = false;
    if (answer.kind === 'request-failed') broken.value = answer.problem;
    return;
  }
  defaults = answer.defaults;
  put(fromFragment(location.hash, defaults.today) ?? defaults.today);
}

export function change(field: Field, value: string): void {
  if (typed.value !== undefined) put({ ...typed.value, [field]: value });
}

/** All fields as they are by themselves. */
export function reset(): void {
  if (defaults !== undefined) put(defaults.today);
}

/** Takes the first address from this device's time of day. */
export async function startNow(): Promise<void> {
  if (typed.value === undefined) return;
  const answer = await maker.ask({ kind: 'address', settings: typed.value, now: now() });
  if (answer.kind === 'address' && answer.address !== undefined) change('start', answer.address);
}

/** The address of the page with the settings in it. */
export function link(): string {
  if (typed.value === undefined || defaults === undefined) return location.href;
  return new URL(toFragment(typed.value, defaults.fixed), location.href).href;
}

/** What this device's clock says. */
export function now(): Now {
  const date = new Date();
  return { milliseconds: date.getTime(), offset: -date.getTimezoneOffset() };
}

function put(settings: Settings): void {
  typed.value = settings;
  void ask(settings);
}

/** Asks what settings come to; what is answered after newer ones were typed is dropped. */
async function ask(settings: Settings): Promise<void> {
  const answer = await maker.ask({ kind: 'sketch', settings });
  if (settings !== typed.value) return;
  if (answer.kind === 'sketch') {
    answered.value = { settings, sketch: answer.sketch };
    broken.value = undefined;
  } else if (answer.kind === 'request-failed') broken.value = answer.problem;
}

addEventListener('hashchange', () => {
  if (defaults === undefined || !isHere(location.hash)) return;
  const own = typed.value === undefined ? '' : toFragment(typed.value, defaults.fixed);
  if (location.hash === own) return;
  const linked = fromFragment(location.hash, defaults.today);
  if (linked !== undefined) put(linked);
});

let pause: ReturnType<typeof setTimeout> | undefined;
effect(() => {
  if (typed.value === undefined) return;
  clearTimeout(pause);
  pause = setTimeout(writeLink, PAUSE);
});

/** Only this place's address is changed, and no step of the browser's history is added. */
function writeLink(): void {
  if (typed.value === undefined || defaults === undefined || !isHere(location.hash)) return;
  history.replaceState(history.state, '', toFragment(typed.value, defaults.fixed));
}
