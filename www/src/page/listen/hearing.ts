// What is heard on this page: one input at a time, kept while another place is shown.

import { effect, type ReadonlySignal, signal } from '@preact/signals';
import type {
  FoundIn,
  FromListener,
  Heard,
  Planned,
  Recorded,
  ToListener,
} from '../../protocol/listen';
import { unreachable } from '../../protocol/messages';
import ListenerWorker from '../../worker/listener?worker';
import type { Problem } from '../../wasm/plumbline';
import { mediaDevices } from '../devices';
import { keepAwake, letSleep } from '../make/live/awake';
import { pageModule } from '../module';
import { filled, keepOnDevice, keptOnDevice } from '../on-device';
import { held, hold } from './held';
import { type About, Input } from './input';
import { asStopped, type Because, Stopped } from './stopped';

export type Phase =
  | { is: 'still'; ended: Stopped | undefined }
  | { is: 'starting' }
  | { is: 'listening'; about: About };

/** A recording of what is heard. */
export type Recording =
  | { is: 'off' }
  | { is: 'on'; since: number }
  | { is: 'done'; recorded: Recorded; address: string }
  | { is: 'failed'; detail: string };

const PLAN = 'plumbline.plan';
const state = signal<Phase>({ is: 'still', ended: undefined });
const now = signal<Heard | undefined>(undefined);
const wrong = signal<readonly FoundIn[]>([]);
const plan = signal<Planned>(filled({ rate: '', counting: '', user_bits: '' }, keptOnDevice(PLAN)));
const planWrong = signal<readonly Problem[]>([]);
const known = signal<readonly MediaDeviceInfo[]>([]);
const recorder = signal<Recording>({ is: 'off' });
let input: Input | undefined;
let worker: Worker | undefined;

export const phase: ReadonlySignal<Phase> = state;

/** What is heard now; after the end, what was heard last. */
export const heard: ReadonlySignal<Heard | undefined> = now;

/** What is wrong with the code of each channel. */
export const found: ReadonlySignal<readonly FoundIn[]> = wrong;

export const planned: ReadonlySignal<Planned> = plan;
export const planProblems: ReadonlySignal<readonly Problem[]> = planWrong;

export const recording: ReadonlySignal<Recording> = recorder;

/** The inputs of this device, as far as the browser tells of them. */
export const inputs: ReadonlySignal<readonly MediaDeviceInfo[]> = known;

/** Which of them is listened to, by its id; empty where the system chooses. */
export const chosen = signal('');

export async function listen(): Promise<void> {
  if (state.value.is === 'starting') return;
  end(new Stopped('asked'));
  state.value = { is: 'starting' };
  now.value = undefined;
  wrong.value = [];
  const listener = new ListenerWorker();
  worker = listener;
  listener.onmessage = ({ data }: MessageEvent<FromListener>) => hear(data);
  listener.onerror = ({ message }) => end(new Stopped('broken', message));
  try {
    input = await Input.open(chosen.value, {
      begins: (facts, sound) => {
        tell({ kind: 'begin', input: facts, sound }, [sound]);
        tell({ kind: 'plan', planned: plan.value });
        tell({ kind: 'held', ticking: held.value?.ticking });
      },
      clock: (pageMilliseconds, samples) => tell({ kind: 'clock', pageMilliseconds, samples }),
      ended: end,
    });
    state.value = { is: 'listening', about: input.about };
    keepAwake();
    await lookForInputs();
  } catch (error) {
    end(asStopped(error));
  }
}

export function stop(because: Because = 'asked'): void {
  end(new Stopped(because));
}

/** Has the page's own clock set from a channel's code. */
export function jam(channel: number): void {
  tell({ kind: 'jam', channel, pageMilliseconds: performance.now() });
}

/** Begins to record what is heard, or ends it. */
export function record(): void {
  tell({ kind: recorder.value.is === 'on' ? 'end-record' : 'record' });
}

export async function changePlan(change: Partial<Planned>): Promise<void> {
  plan.value = { ...plan.value, ...change };
  keepOnDevice(PLAN, plan.value);
  tell({ kind: 'plan', planned: plan.value });
  await checkPlan();
}

async function checkPlan(): Promise<void> {
  planWrong.value = (await pageModule()).check_plan(plan.value);
}

function tell(message: ToListener, transfer: Transferable[] = []): void {
  worker?.postMessage(message, transfer);
}

function hear(message: FromListener): void {
  switch (message.kind) {
    case 'heard':
      now.value = message.heard;
      return;
    case 'found':
      wrong.value = message.found;
      return;
    case 'jammed':
      if (message.held !== undefined) void hold(message.held);
      return;
    case 'recording':
      forget();
      recorder.value = { is: 'on', since: now.value?.seconds ?? 0 };
      return;
    case 'recorded':
      return keep(message.recorded);
    case 'not-recorded':
      recorder.value = { is: 'failed', detail: message.detail };
      return release();
    case 'broken':
      return end(new Stopped('broken', message.detail));
    default:
      unreachable(message);
  }
}

function keep(recorded: Recorded | undefined): void {
  recorder.value =
    recorded === undefined
      ? { is: 'off' }
      : { is: 'done', recorded, address: URL.createObjectURL(recorded.file) };
  release();
}

/** The recording before makes room for the next one. */
function forget(): void {
  if (recorder.value.is === 'done') URL.revokeObjectURL(recorder.value.address);
}

/** The worker is not needed any more once the input is gone and the recording is written. */
function release(): void {
  if (input !== undefined || state.value.is !== 'still') return;
  worker?.terminate();
  worker = undefined;
}

function end(why: Stopped): void {
  input?.stop();
  input = undefined;
  if (recorder.value.is === 'on' && why.because !== 'broken') {
    tell({ kind: 'end-record' });
  } else {
    worker?.terminate();
    worker = undefined;
  }
  if (state.value.is === 'still') return;
  letSleep();
  state.value = { is: 'still', ended: why };
}

/** Browsers give names only once an input was allowed. */
async function lookForInputs(): Promise<void> {
  const all = (await mediaDevices()?.enumerateDevices()) ?? [];
  known.value = all.filter(({ kind, deviceId }) => kind === 'audioinput' && deviceId !== '');
}

mediaDevices()?.addEventListener('devicechange', () => void lookForInputs());

/** The clock that is held is compared with what is heard. */
effect(() => {
  const ticking = held.value?.ticking;
  tell({ kind: 'held', ticking });
});

// A plan that was kept may be half typed.
void checkPlan();
