// The worker that makes files: sketches while somebody types, tones and stamped copies.

import {
  type Defaults,
  type FromMaker,
  type MakeProblem,
  type Now,
  type Settings,
  type ToMaker,
} from '../protocol/make';
import { unreachable } from '../protocol/messages';
import init, {
  default_settings,
  live_order,
  now_address,
  plain_settings,
  Refusal,
  sketch,
} from '../wasm/plumbline';
import { Job, make, passZeros, Stopped } from './making';
import { stamp } from './stamping';

const module = init();
const jobs = new Map<number, Job>();

addEventListener('message', (event: MessageEvent<ToMaker>) => {
  void hear(event.data);
});

function post(message: FromMaker): void {
  postMessage(message);
}

async function hear(message: ToMaker): Promise<void> {
  switch (message.kind) {
    case 'defaults':
    case 'sketch':
    case 'address':
    case 'order':
      return answer(message);
    case 'make':
      return attempt(message.job, (job) => make(job, message.settings, message.to));
    case 'stamp':
      return attempt(message.job, (job) => stamp(job, message));
    case 'zeros-only':
      return attempt(message.job, (job) => passZeros(job, message.bytes, message.to));
    case 'stop':
      return jobs.get(message.job)?.stop();
    default:
      unreachable(message);
  }
}

type Question = Extract<ToMaker, { request: number }>;

async function answer(question: Question): Promise<void> {
  const { request } = question;
  try {
    await module;
    post(answerTo(question));
  } catch (error) {
    post({ kind: 'request-failed', request, problem: problemOf(error) });
  }
}

function answerTo(question: Question): FromMaker {
  const { request } = question;
  switch (question.kind) {
    case 'defaults':
      return { kind: 'defaults', request, defaults: defaultsAt(question.now) };
    case 'sketch':
      return { kind: 'sketch', request, sketch: sketch(question.settings) };
    case 'address': {
      const { milliseconds, offset } = question.now;
      return {
        kind: 'address',
        request,
        address: now_address(question.settings, milliseconds, offset),
      };
    }
    case 'order':
      return { kind: 'order', request, answer: live_order(question.settings, question.live) };
    default:
      return unreachable(question);
  }
}

function defaultsAt({ milliseconds, offset }: Now): Defaults {
  return {
    fixed: plain_settings() as Settings,
    today: default_settings(milliseconds, offset) as Settings,
  };
}

async function attempt(id: number, work: (job: Job) => Promise<void>): Promise<void> {
  const job = new Job(id, post, module);
  jobs.set(id, job);
  try {
    await module;
    await work(job);
  } catch (error) {
    if (error instanceof Stopped) post({ kind: 'stopped', job: id });
    else post({ kind: 'failed', job: id, problem: problemOf(error) });
  } finally {
    jobs.delete(id);
  }
}

/** Whatever the browser throws on a file is a DOMException; all else is a fault of the maker. */
function problemOf(error: unknown): MakeProblem {
  if (error instanceof Refusal) {
    return { code: 'refused', detail: error.text, remedy: error.remedy };
  }
  const detail = error instanceof Error ? error.message : String(error);
  if (!(error instanceof DOMException)) return { code: 'crashed', detail };
  return { code: error.name === 'QuotaExceededError' ? 'no-room' : 'interrupted', detail };
}
