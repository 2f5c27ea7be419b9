// The worker that listens: sound comes from the worklet, questions from the page.

import type { Captured, FromListener, ToListener } from '../protocol/listen';
import { unreachable } from '../protocol/messages';
import init, { Listening } from '../wasm/plumbline';

/** Samples between two accounts of what is heard now, in seconds, and of what was found. */
const HEARD = 0.04;
const FOUND = 1;

const module = init();
let listening: Listening | undefined;
let told = { heard: 0, found: 0 };
let hertz = 0;

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
    default:
      unreachable(message);
  }
}

function hear({ number, planes }: Captured): void {
  if (listening === undefined) return;
  listening.push(number, planes);
  if (number - told.heard >= HEARD * hertz) {
    told = { ...told, heard: number };
    post({ kind: 'heard', heard: listening.heard() });
  }
  if (number - told.found >= FOUND * hertz) {
    told = { ...told, found: number };
    post({ kind: 'found', found: listening.findings() });
  }
}
