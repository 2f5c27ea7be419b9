// Two recordings lined up by their sound: a print of each, then the places that the prints name.

import type { Progress, SoundFile, SoundOrder, SoundOutcome } from '../protocol/messages';
import { line_up_by_sound, Refusal, SoundPrint, SoundSide } from '../wasm/plumbline';
import { Accounts } from './accounts';
import { bytesOf, lengthOf } from './bytes';

type Job = { say: (progress: Progress) => void; stopped: () => boolean };

/** Prints that were made, 800 bytes for a second, the one that was last asked for at the end: one
 * recording is compared with many. */
const prints = new Map<string, Uint8Array>();
/** So many bytes of them are kept: some twenty hours, or the two that are compared. */
const KEPT = 64 * 1024 * 1024;

export async function bySound(order: SoundOrder, job: Job): Promise<SoundOutcome> {
  try {
    return await lineUp(order, job);
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    return { is: 'refused', text: error.text, remedy: error.remedy };
  }
}

/** A print that is being made. */
type Printing = { file: SoundFile; print: SoundPrint; pieces: Float64Array };

async function lineUp(order: SoundOrder, job: Job): Promise<SoundOutcome> {
  const { beside, first, second, prior } = order;
  // Both are opened before the first is read: what can't be lined up is told at once.
  const printings = [first, second].filter((file) => !isKept(nameOf(file))).map(opened);
  const accounts = new Accounts(
    printings.reduce((total, { pieces }) => total + lengthOf(pieces), 0),
    job.say,
  );
  for (const printing of printings) {
    if (!(await isPrinted(printing, accounts, job))) return { is: 'stopped' };
  }
  const [one, other] = [sideOf(first), sideOf(second)];
  const answer = line_up_by_sound(beside, one, other, prior);
  one.free();
  other.free();
  return answer;
}

function opened(file: SoundFile): Printing {
  const print = SoundPrint.open(file.file, Uint16Array.from(file.coded));
  return { file, print, pieces: print.pieces() };
}

/** Makes a print to its end; false where it was stopped. */
async function isPrinted(printing: Printing, accounts: Accounts, job: Job): Promise<boolean> {
  const { file, print, pieces } = printing;
  for await (const block of bytesOf(file.file, pieces)) {
    print.push(block);
    await accounts.after(block.length);
    if (job.stopped()) {
      print.free();
      return false;
    }
  }
  prints.set(nameOf(file), print.finish());
  forgetOldest();
  return true;
}

/** Whether a print is there; then it is the last to be forgotten. */
function isKept(name: string): boolean {
  const print = prints.get(name);
  if (print === undefined) return false;
  prints.delete(name);
  prints.set(name, print);
  return true;
}

function forgetOldest(): void {
  const length = () => [...prints.values()].reduce((sum, print) => sum + print.length, 0);
  for (const name of prints.keys()) {
    if (prints.size <= 2 || length() <= KEPT) return;
    prints.delete(name);
  }
}

function sideOf(file: SoundFile): SoundSide {
  const print = prints.get(nameOf(file));
  if (print === undefined) throw new Error('a print is missing');
  return SoundSide.open(file.file, print, Uint16Array.from(file.coded));
}

/** What a print is kept under: another channel has another one. */
function nameOf({ key, coded }: SoundFile): string {
  return `${key} ${coded.join()}`;
}
