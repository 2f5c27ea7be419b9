// Making a stamped copy of a recording, and reading it back. The recording is only read.

import type { JobOrder } from '../protocol/make';
import { Stamping } from '../wasm/plumbline';
import { bytesOf } from './bytes';
import { type Fill, type Job, readBack, write } from './making';

type StampJob = Extract<JobOrder, { kind: 'stamp' }>;

export async function stamp(job: Job, { file, order, to }: StampJob): Promise<void> {
  const begun = performance.now();
  const stamping = Stamping.open(file, order);
  const original = bytesOf(file, stamping.pieces());
  try {
    const copy = await write(job, stamping.total_bytes, to, filler(stamping, original));
    const written = performance.now();
    stamping.read_back(copy);
    await readBack(job, copy, (block) => stamping.push_back(block));
    const outcome = stamping.finish();
    if (outcome === undefined) throw new Error('the copy was not read back');
    job.post({ kind: 'made', job: job.id, outcome, cost: await job.cost(begun, written) });
  } finally {
    await original.return(undefined);
    stamping.free();
  }
}

/** Fills pieces of the copy, and fetches of the original what that takes. */
function filler(stamping: Stamping, original: AsyncGenerator<Uint8Array>): Fill {
  let ended = false;
  const fetch = async () => {
    const { value, done } = await original.next();
    if (done !== true) return stamping.push(value);
    ended = true;
    if (!stamping.end()) throw new DOMException('the recording ended early', 'NotReadableError');
  };
  return async (piece) => {
    let filled = 0;
    while (filled < piece.length) {
      const count = stamping.fill(piece.subarray(filled));
      filled += count;
      if (count > 0) continue;
      if (ended) break;
      await fetch();
    }
    return filled;
  };
}
