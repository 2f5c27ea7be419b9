// Two recordings lined up by their sound: a print of each, then the places that the prints name.

import type { Progress, SoundOrder, SoundOutcome } from '../protocol/messages';
import { line_up_by_sound, Refusal, SoundPrint, SoundSide } from '../wasm/plumbline';
import { Accounts } from './accounts';
import { bytesOf, lengthOf } from './bytes';

type Job = { say: (progress: Progress) => void; stopped: () => boolean };

export async function bySound(order: SoundOrder, job: Job): Promise<SoundOutcome> {
  try {
    return await lineUp(order, job);
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    return { is: 'refused', text: error.text, remedy: error.remedy };
  }
}

async function lineUp({ beside, first, second }: SoundOrder, job: Job): Promise<SoundOutcome> {
  // Both are opened before the first is read: what can't be lined up is told at once.
  const sides = [first, second].map(({ file, coded }) => {
    const channels = Uint16Array.from(coded);
    const print = SoundPrint.open(file, channels);
    return { file, channels, print, pieces: print.pieces() };
  });
  const accounts = new Accounts(
    sides.reduce((total, { pieces }) => total + lengthOf(pieces), 0),
    job.say,
  );
  for (const { file, print, pieces } of sides) {
    for await (const block of bytesOf(file, pieces)) {
      print.push(block);
      await accounts.after(block.length);
      if (job.stopped()) return { is: 'stopped' };
    }
  }
  const [one, other] = sides.map(({ file, print, channels }) =>
    SoundSide.open(file, print.finish(), channels),
  );
  if (one === undefined || other === undefined) throw new Error('a recording is missing');
  const answer = line_up_by_sound(beside, one, other);
  one.free();
  other.free();
  return answer;
}
