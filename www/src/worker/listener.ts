// The worker that listens: sound comes from the worklet, questions from the page.

import type { Captured } from '../protocol/capture';
import type { FromListener, ToListener } from '../protocol/listen';
import { unreachable } from '../protocol/messages';
import init, { Listening } from '../wasm/plumbline';
import { inBrowser, type Sink } from './sink';

/** Seconds between two accounts of what is heard now, which ticks by itself, and of what was found.
 * Code that begins or stops is told at once. */
const HEARD = 0.1;
const FOUND = 1;

const module = init();
let listening: Listening | undefined;
let told = { heard: 0, codes: 0, found: 0 };
let hertz = 0;
/** Where a recording goes, and what was written of it so far. */
let sink: Sink | undefined;
let written: Promise<void> = Promise.resolve();

addEventListener('message', ({ data }: MessageEvent<ToListener>) => {
  void attempt(() => answer(data));
});

function post(message: FromListener): void {
  postMessage(message);
}

async function attempt(work: () => void): Promise<void> {
  try {
    await module;
    work();
  } catch (error) {
    post({ kind: 'broken', detail: error instanceof Error ? error.message : String(error) });
  }
}

function answer(message: ToListener): void {
  switch (message.kind) {
    case 'begin':
      listening = new Listening(message.input);
      ({ hertz } = message.input);
      message.sound.onmessage = ({ data }: MessageEvent<Captured>) => {
        void attempt(() => hear(data));
      };
      return;
    case 'clock':
      return listening?.read_clock(message.pageMilliseconds, message.samples);
    case 'plan':
      return listening?.expect(message.planned);
    case 'held':
      return listening?.compare_with(message.ticking);
    case 'jam':
      return post({
        kind: 'jammed',
        held: listening?.jam(message.channel, message.pageMilliseconds),
      });
    case 'record':
      return void record();
    case 'end-record':
      return void endRecord();
    default:
      unreachable(message);
  }
}

async function record(): Promise<void> {
  if (sink !== undefined) return;
  sink = await inBrowser();
  written = Promise.resolve();
  listening?.record();
  post({ kind: 'recording' });
}

/** The header is known last, and put before the sound without a copy of that. */
async function endRecord(): Promise<void> {
  const parts = listening?.end_record();
  const ended = sink;
  sink = undefined;
  if (ended === undefined) return post({ kind: 'recorded', recorded: undefined });
  try {
    await written;
    const sound = await ended.close();
    if (parts === undefined) return post({ kind: 'recorded', recorded: undefined });
    const { header, after, name, starts_at: startsAt } = parts;
    const pieces = [new Uint8Array(header), sound, new Uint8Array(after)];
    const file = new Blob(pieces, { type: 'audio/wav' });
    post({ kind: 'recorded', recorded: { name, startsAt, file } });
  } catch (error) {
    await ended.abort();
    post({ kind: 'not-recorded', detail: error instanceof Error ? error.message : String(error) });
  }
}

/** What was recorded goes to the disk in turn; a failure shows at the end. */
function keep(bytes: Uint8Array<ArrayBuffer>): void {
  const to = sink;
  if (to === undefined || bytes.length === 0) return;
  written = written.then(() => to.write(bytes));
  written.catch(() => undefined);
}

function hear({ number, planes }: Captured): void {
  if (listening === undefined) return;
  listening.push(number, planes);
  if (sink !== undefined) keep(listening.take_recorded() as Uint8Array<ArrayBuffer>);
  const codes = listening.codes();
  if (codes !== told.codes || number - told.heard >= HEARD * hertz) {
    told = { ...told, codes, heard: number };
    post({ kind: 'heard', heard: listening.heard() });
  }
  if (number - told.found >= FOUND * hertz) {
    told = { ...told, found: number };
    post({ kind: 'found', found: listening.findings() });
  }
}
