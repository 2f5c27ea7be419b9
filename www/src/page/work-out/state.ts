// What stands in the fields of every part, and what it comes to.

import { effect, type ReadonlySignal, signal } from '@preact/signals';
import type { Answered, Asked, Forms, Part, Topic } from '../../protocol/sums';
import { asker } from './asker';
import { isHere, keep, type Kept, recall, toFragment } from './kept';

/** Milliseconds without a key before what was typed is kept: some browsers refuse to change the
 * page's address at every key. */
const PAUSE = 400;

const kept = signal<Kept | undefined>(undefined);
const answer = signal<Answered | undefined>(undefined);
const broken = signal<string | undefined>(undefined);
const topics = signal<readonly Topic[]>([]);
let plain: Forms | undefined;

/** The part that is shown and all forms; undefined until the worker has begun. */
export const state: ReadonlySignal<Kept | undefined> = kept;

/** What the part that is shown comes to: of what stood there before, while the answer to the
 * newest is on its way. */
export const answered: ReadonlySignal<Answered | undefined> = answer;

/** What broke the worker, if it is broken. */
export const trouble: ReadonlySignal<string | undefined> = broken;

/** The worksheet's syntax, explained. */
export const help: ReadonlySignal<readonly Topic[]> = topics;

export async function begin(): Promise<void> {
  if (plain === undefined) {
    broken.value = undefined;
    const begun = await asker.begin();
    if (begun.kind === 'broken') broken.value = begun.detail;
    if (begun.kind !== 'begun' || plain !== undefined) return;
    plain = begun.forms;
    topics.value = begun.help;
    put(recall(plain, location.hash));
  } else {
    writeLink();
    if (broken.value !== undefined && kept.value !== undefined) put(kept.value);
  }
}

export function show(part: Part): void {
  if (kept.value !== undefined) put({ ...kept.value, part });
}

/** Changes a field of the part that is shown. */
export function change(field: string, value: string): void {
  if (kept.value === undefined) return;
  const { part, forms } = kept.value;
  put({ part, forms: { ...forms, [part]: { ...forms[part], [field]: value } } });
}

/** The part that is shown, as it is by itself. */
export function clear(): void {
  if (kept.value === undefined || plain === undefined) return;
  const { part, forms } = kept.value;
  put({ part, forms: { ...forms, [part]: plain[part] } });
}

/** The address of the page with what stands in the part that is shown. */
export function link(): string {
  if (kept.value === undefined || plain === undefined) return location.href;
  return new URL(toFragment(kept.value, plain), location.href).href;
}

function put(next: Kept): void {
  if (next.part !== answer.value?.part) answer.value = undefined;
  kept.value = next;
  void ask(next);
}

/** What is answered after something newer was typed is dropped. */
async function ask(next: Kept): Promise<void> {
  const { part, forms } = next;
  const worked = await asker.workOut({ part, form: forms[part] } as Asked);
  if (next !== kept.value) return;
  if (worked.kind === 'worked-out') {
    answer.value = worked.answered;
    broken.value = undefined;
  } else if (worked.kind === 'broken') broken.value = worked.detail;
}

addEventListener('hashchange', () => {
  if (plain === undefined || kept.value === undefined || !isHere(location.hash)) return;
  if (location.hash === toFragment(kept.value, plain)) return;
  if (location.hash.includes('?')) put(recall(plain, location.hash));
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
