// What stands in the fields of every part, and what it comes to.

import { computed, effect, type ReadonlySignal, signal } from '@preact/signals';
import { isHere, keep, type Kept, recall, toFragment } from './kept';
import { type Answered, type Asked, type Forms, type Part, Sums, type Topic } from './sums';

/** Milliseconds without a key before what was typed is kept: some browsers refuse to change the
 * page's address at every key. */
const PAUSE = 400;

const kept = signal<Kept | undefined>(undefined);
const loaded = signal<Sums | undefined>(undefined);
const notLoaded = signal<string | undefined>(undefined);
let plain: Forms | undefined;

type Outcome = { answered?: Answered; broken?: string };

const outcome = computed((): Outcome => {
  if (loaded.value === undefined || kept.value === undefined) return {};
  const { part, forms } = kept.value;
  try {
    return { answered: loaded.value.workOut({ part, form: forms[part] } as Asked) };
  } catch (error) {
    return { broken: detail(error) };
  }
});

/** The part that is shown and all forms; undefined until the sums are loaded. */
export const state: ReadonlySignal<Kept | undefined> = kept;

/** What the part that is shown comes to. */
export const answered = computed(() => outcome.value.answered);

/** What broke, if something did. */
export const trouble = computed(() => notLoaded.value ?? outcome.value.broken);

/** The worksheet's syntax, explained. */
export const help = computed((): readonly Topic[] => loaded.value?.help() ?? []);

export async function begin(): Promise<void> {
  if (plain !== undefined) {
    writeLink();
    return;
  }
  notLoaded.value = undefined;
  try {
    const sums = await Sums.load();
    if (plain !== undefined) return;
    plain = sums.forms();
    loaded.value = sums;
    kept.value = recall(plain, location.hash);
  } catch (error) {
    notLoaded.value = detail(error);
  }
}

function detail(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

export function show(part: Part): void {
  if (kept.value !== undefined) kept.value = { ...kept.value, part };
}

/** Changes a field of the part that is shown. */
export function change(field: string, value: string): void {
  if (kept.value === undefined) return;
  const { part, forms } = kept.value;
  kept.value = { part, forms: { ...forms, [part]: { ...forms[part], [field]: value } } };
}

/** The part that is shown, as it is by itself. */
export function clear(): void {
  if (kept.value === undefined || plain === undefined) return;
  const { part, forms } = kept.value;
  kept.value = { part, forms: { ...forms, [part]: plain[part] } };
}

/** The address of the page with what stands in the part that is shown. */
export function link(): string {
  if (kept.value === undefined || plain === undefined) return location.href;
  return new URL(toFragment(kept.value, plain), location.href).href;
}

addEventListener('hashchange', () => {
  if (plain === undefined || kept.value === undefined || !isHere(location.hash)) return;
  if (location.hash === toFragment(kept.value, plain)) return;
  if (location.hash.includes('?')) kept.value = recall(plain, location.hash);
});

let pause: ReturnType<typeof setTimeout> | undefined;
effect(() => {
  const now = kept.value;
  if (now === undefined) return;
  clearTimeout(pause);
  pause = setTimeout(() => {
    keep(now);
    writeLink();
  }, PAUSE);
});

/** Only this place's address is changed, and no step of the browser's history is added. */
function writeLink(): void {
  if (kept.value === undefined || plain === undefined || !isHere(location.hash)) return;
  history.replaceState(history.state, '', toFragment(kept.value, plain));
}
