// What stands in the fields, and what it comes to. Kept while another place is shown.

import { computed, effect, type ReadonlySignal, signal } from '@preact/signals';
import type { Defaults, Field, MakeProblem, Now, Settings, Sketch } from '../../protocol/make';
import type { Fact } from '../../protocol/messages';
import { make as words } from '../../text/en-make';
import { fromFragment, isHere, isTold as told, toFragment } from './link';
import { maker } from './maker';

/** Milliseconds without a key before the address of the page takes the settings in: some
 * browsers refuse to change it at every key. */
const PAUSE = 400;

const typed = signal<Settings | undefined>(undefined);
const answered = signal<{ settings: Settings; sketch: Sketch } | undefined>(undefined);
const broken = signal<MakeProblem | undefined>(undefined);
let defaults: Defaults | undefined;
let lastFacts: readonly Fact[] = [];
let asking: Promise<void> = Promise.resolve();

/** What stands in the fields; undefined until the defaults are there. */
export const settings: ReadonlySignal<Settings | undefined> = typed;

/** What is known of the settings: of those before, while the answer to the newest is on its way. */
export const sketch: ReadonlySignal<Sketch | undefined> = computed(() => answered.value?.sketch);

/** What broke the maker, if it is broken. */
export const trouble: ReadonlySignal<MakeProblem | undefined> = broken;

/** What the settings come to. While something in them is not right, the labels stand without
 * their values, so that the fields below stay where they are. */
export const facts: ReadonlySignal<readonly Fact[]> = computed(() => {
  const now = answered.value?.sketch;
  if (now === undefined) return [];
  if (now.problems.length === 0) lastFacts = now.facts;
  return now.problems.length === 0
    ? now.facts
    : lastFacts.map(({ label }) => ({ label, value: words.noValue }));
});

/** Whether something in the fields is not right. */
export const wrong: ReadonlySignal<boolean> = computed(
  () => (answered.value?.sketch.problems.length ?? 0) > 0,
);

/** What stands in the fields and the file's name, once all in them is known to be right. */
export async function makeable(): Promise<{ settings: Settings; name: string } | undefined> {
  await asking;
  const name = answered.value?.sketch.file_name;
  if (answered.value === undefined || name === undefined) return undefined;
  return { settings: answered.value.settings, name };
}

/** Fills the fields for the first time: from the page's address, else with the defaults. Later it
 * only sees to what has failed. */
export async function begin(): Promise<void> {
  if (defaults === undefined) return fill();
  writeLink();
  if (broken.value !== undefined && typed.value !== undefined) put(typed.value);
}

async function fill(): Promise<void> {
  broken.value = undefined;
  const answer = await maker.ask({ kind: 'defaults', now: now() });
  if (answer.kind === 'request-failed') broken.value = answer.problem;
  if (answer.kind !== 'defaults' || defaults !== undefined) return;
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

/** Takes the first address from this device's time of day, and gives it; none where the settings
 * it depends on are not right. */
export async function startNow(): Promise<string | undefined> {
  if (typed.value === undefined) return undefined;
  const answer = await maker.ask({ kind: 'address', settings: typed.value, now: now() });
  const address = answer.kind === 'address' ? answer.address : undefined;
  if (address !== undefined) change('start', address);
  return address;
}

/** By how much this device's time of day is ahead of UTC: `+01:00`. */
export function zoneToday(): string {
  return defaults?.today.zone ?? '';
}

/** Whether a field has a meaning and is not what it is by itself. */
export function isTold(field: Field): boolean {
  return (
    typed.value !== undefined && defaults !== undefined && told(field, typed.value, defaults.fixed)
  );
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
  asking = ask(settings);
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
  if (linked === undefined) writeLink();
  else put(linked);
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
