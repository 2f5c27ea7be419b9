// The worker that reads recordings, one at a time.

import {
  type Cost,
  type Demo as DemoOf,
  type Ending,
  type FromWorker,
  type Problem,
  type Progress,
  type ToWorker,
  unreachable,
} from '../protocol/messages';
import init, { codeword_at, Demo, Recording, Refusal } from '../wasm/plumbline';
import { Accounts } from './accounts';
import { bySound } from './by-sound';
import { bytesOf, lengthOf } from './bytes';
import { type BrowserDecoders, openAlone, openWithDecoders } from './decoders';

/** The first answer comes after about this many bytes: a second or two of sound. */
const FIRST_ANSWER = 512 * 1024;

const module = init();
const stopped = new Set<number>();

addEventListener('message', (event: MessageEvent<ToWorker>) => {
  void answer(event.data);
});

function post(message: FromWorker): void {
  postMessage(message);
}

async function answer(message: ToWorker): Promise<void> {
  switch (message.kind) {
    case 'read':
      return attempt(message.job, () => read(message.job, message.file));
    case 'demo':
      return attempt(message.job, () => makeUp(message.job, message.demo));
    case 'stop':
      stopped.add(message.job);
      return;
    case 'codeword':
      return codeword(message);
    case 'by-sound':
      return attempt(message.job, () => listen(message));
    case 'bytes-only':
      return attempt(message.job, () => passBytes(message.job, message.file));
    default:
      unreachable(message);
  }
}

async function attempt(job: number, work: () => Promise<void>): Promise<void> {
  try {
    await module;
    await work();
  } catch (error) {
    post({ kind: 'failed', job, problem: problemOf(error) });
  } finally {
    stopped.delete(job);
  }
}

/** Whatever the browser throws on a file is a DOMException; all else is a fault of the reader. */
function problemOf(error: unknown): Problem {
  const detail = error instanceof Error ? error.message : String(error);
  return { code: error instanceof DOMException ? 'unreadable' : 'crashed', detail };
}

async function makeUp(job: number, demo: DemoOf): Promise<void> {
  const made = demo === 'alone' ? Demo.make() : Demo.make_of_day(demo);
  if (made === undefined) throw new Error(`there is no demo recording ${demo}`);
  const { name } = made;
  const file = new File([made.into_bytes()], name, { type: 'audio/wav' });
  post({ kind: 'made', job, file });
  await read(job, file);
}

async function read(job: number, file: File): Promise<void> {
  const begun = performance.now();
  const [recording, decoders] = await openWithDecoders(file);
  const ending = await pushAll(job, file, recording, decoders).finally(() => decoders.close());
  const finished = (decoders.unfit ? openAlone(file, recording) : recording).finish();
  const { reading, csv } = finished;
  finished.free();
  post({ kind: 'read', job, reading, csv, cost: await costSince(begun), ending });
}

async function pushAll(
  job: number,
  file: File,
  recording: Recording,
  decoders: BrowserDecoders,
): Promise<Ending> {
  const pieces = recording.pieces();
  // What is known is said with each account: soon at first, then now and again.
  const say = (progress: Progress) =>
    post({ kind: 'progress', job, progress, reading: recording.so_far() });
  const goesOn = () => !stopped.has(job);
  const accounts = new Accounts(lengthOf(pieces), say, FIRST_ANSWER);
  try {
    for await (const block of bytesOf(file, pieces)) {
      recording.push(block);
      await decoders.decode(goesOn);
      if (decoders.unfit) break;
      await accounts.after(block.length);
      if (!goesOn()) return { is: 'stopped' };
    }
    recording.end_of_bytes();
    await decoders.decode(goesOn);
    await decoders.flush();
    if (!goesOn()) return { is: 'stopped' };
  } catch (error) {
    // What was read until then still stands; a fault of the reader leaves nothing to stand on.
    const problem = problemOf(error);
    if (problem.code === 'crashed') throw error;
    return { is: 'broken-off', problem };
  }
  return { is: 'whole' };
}

async function costSince(begun: number): Promise<Cost> {
  const { memory } = await module;
  return { milliseconds: performance.now() - begun, memory: memory.buffer.byteLength };
}

async function passBytes(job: number, file: File): Promise<void> {
  const begun = performance.now();
  const recording = Recording.open(file);
  for await (const block of bytesOf(file, recording.pieces())) {
    recording.pass(block);
  }
  recording.free();
  post({ kind: 'bytes-passed', job, cost: await costSince(begun) });
}

async function listen(order: Extract<ToWorker, { kind: 'by-sound' }>): Promise<void> {
  const { job } = order;
  const say = (progress: Progress) => post({ kind: 'listening', job, progress });
  const outcome = await bySound(order, { say, stopped: () => stopped.has(job) });
  post({ kind: 'by-sound', job, outcome });
}

async function codeword(message: Extract<ToWorker, { kind: 'codeword' }>): Promise<void> {
  const { request, file, place } = message;
  try {
    await module;
    post({
      kind: 'codeword',
      request,
      codeword: codeword_at(file, place.channel, place.rate, place.second),
    });
  } catch (error) {
    if (error instanceof Refusal) {
      const why = `${error.text} ${error.remedy}`;
      return post({ kind: 'codeword-refused', request, why });
    }
    const crashed = error instanceof WebAssembly.RuntimeError;
    const detail = error instanceof Error ? error.message : String(error);
    post({
      kind: 'codeword-failed',
      request,
      problem: { code: crashed ? 'crashed' : 'unreadable', detail },
    });
  }
}
