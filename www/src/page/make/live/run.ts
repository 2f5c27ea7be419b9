// One run of live code, from the first sample to the last: the audio, and nothing of what is shown.

import type { Codeword, FromPlayer, Order, PlayerOptions, ToPlayer } from '../../../protocol/live';
import type { LiveFrom } from '../../../wasm/plumbline';
import playerAddress from '../../../worklet/player.ts?worker&url';
import { held } from '../../listen/held';
import { offsetMinutes, type Reading, reading, readings } from './clocks';
import { type Because, Ended } from './ended';
import { guard } from './guard';
import { type Latency, liveModule, Watch } from './module';

export type From = LiveFrom['from'];

/** Gives an order for code that starts so, on an output of that rate, or fails with an end. */
export type OrderFor = (start: LiveFrom, outputHertz: number) => Promise<Order>;

/** What a run tells of itself. */
export type Told = {
  /** It ended, and not because it was asked to. */
  ended: (ended: Ended) => void;
  /** The screen is to flash with that codeword. */
  flash: (codeword: Codeword) => void;
};

/** Milliseconds that a browser may take to let sound out. */
const PATIENCE = 3000;
/** Milliseconds between two looks at the clocks. It fits into no length of a piece of sound: looks
 * that keep step with what is looked at would see it always early or always late. */
const LOOK = 31;
/** Milliseconds without a codeword after which none is expected any more. */
const SILENCE = 2000;
/** No output is so late that more codewords than these are on their way to it. */
const ON_THEIR_WAY = 200;
/** How a level changes: two thirds of the way in so many seconds. */
const EASE = 0.015;

export class Run {
  private readonly codewords: Codeword[] = [];
  private readonly unguard: () => void;
  private readonly timers: ReturnType<typeof setInterval>[];
  private alive = true;
  private playing = false;
  /** Why it is over, once it is. */
  private over: Ended | undefined;

  /** Opens this device's output and plays code. */
  static async start(
    from: From,
    level: number,
    orderFor: OrderFor,
    told: Told,
    stopped: AbortSignal,
  ): Promise<Run> {
    const context = await openOutput();
    try {
      // All that takes time on the audio's own thread comes first: it would hold up the sound.
      const order = await orderFor(startNow(from, context), context.sampleRate);
      const node = await playerFor(context, order);
      const watch = await Watch.over(order);
      if (stopped.aborted) throw new Ended('asked');
      const run = new Run(context, node, watch, orderFor, told);
      stopped.addEventListener('abort', () => run.stop());
      run.setLevel(level, 0);
      await run.play(from);
      return run;
    } catch (error) {
      if (context.state !== 'closed') void context.close();
      throw error;
    }
  }

  private constructor(
    private readonly context: AudioContext,
    private readonly node: AudioWorkletNode,
    private readonly watch: Watch,
    private readonly orderFor: OrderFor,
    private readonly told: Told,
    private readonly gain = context.createGain(),
  ) {
    node.connect(gain).connect(context.destination);
    node.port.onmessage = (event: MessageEvent<FromPlayer>) => this.hear(event.data);
    node.onprocessorerror = () => this.end('broken');
    this.unguard = guard(context, (because) => this.end(because));
    this.timers = [
      setInterval(() => this.check(), LOOK),
      setInterval(() => this.isAlive(), SILENCE),
    ];
  }

  /** Plays from now on, instead of what was played before. */
  async play(from: From): Promise<void> {
    const start = await startOf(from, this.context);
    const order = await this.orderFor(start, this.context.sampleRate);
    if (this.over !== undefined) throw this.over;
    this.watch.begin(order);
    this.playing = true;
    this.post({ kind: 'play', order });
  }

  /** In dBFS, of the highest sample. */
  setLevel(dbfs: number, ease = EASE): void {
    const { gain } = this.gain;
    const amplitude = 10 ** (dbfs / 20);
    if (ease === 0) gain.value = amplitude;
    else gain.setTargetAtTime(amplitude, this.context.currentTime, ease);
  }

  /** Has the screen flash with a codeword that comes shortly. */
  flash(): void {
    this.post({ kind: 'flash' });
  }

  /** The codeword that is at the output `ahead` milliseconds from now. */
  atOutput(ahead: number): Codeword | undefined {
    const sample = this.watch.sampleAt(reading(this.context), ahead);
    const index = this.codewords.findLastIndex((codeword) => codeword.sample <= sample);
    return this.codewords[index];
  }

  latency(): Latency {
    return this.watch.latency();
  }

  /** How far the code has parted from the time of day, in words. */
  parted(): string {
    return this.watch.parted();
  }

  get sampleRate(): number {
    return this.context.sampleRate;
  }

  /** Silence, at once. */
  stop(why = new Ended('asked')): void {
    if (this.over !== undefined) return;
    this.over = why;
    this.timers.forEach(clearInterval);
    this.unguard();
    this.gain.disconnect();
    this.post({ kind: 'end' });
    if (this.context.state !== 'closed') void this.context.close();
  }

  private end(because: Because, detail = ''): void {
    if (this.over !== undefined) return;
    const why = new Ended(because, detail);
    this.stop(why);
    this.told.ended(why);
  }

  private hear(message: FromPlayer): void {
    if (this.over !== undefined) return;
    switch (message.kind) {
      case 'codeword':
        return this.begun(message);
      case 'flash':
        return this.told.flash(message);
      case 'ended':
        return this.end(message.because, message.detail);
      case 'ready':
        return;
    }
  }

  /** A codeword has begun to be made; it comes out when it has gone all the way to the output. */
  private begun({ sample, address }: Codeword): void {
    this.alive = true;
    this.codewords.push({ sample, address });
    if (this.codewords.length > ON_THEIR_WAY) this.codewords.shift();
  }

  private check(): void {
    const wrong = this.playing ? this.watch.check(reading(this.context)) : undefined;
    if (wrong !== undefined) this.end('moved', wrong);
  }

  private isAlive(): void {
    if (!this.alive) this.end('silent');
    this.alive = false;
  }

  private post(message: ToPlayer): void {
    this.node.port.postMessage(message);
  }
}

async function openOutput(): Promise<AudioContext> {
  const context = new AudioContext({ latencyHint: 'balanced' });
  // A browser that lets no sound out does not say so.
  const enough = new Promise((done) => setTimeout(done, PATIENCE));
  await Promise.race([context.resume(), enough]);
  if (context.state === 'running') return context;
  void context.close();
  throw new Ended('no-sound', context.state);
}

/** A player that is ready for an order. */
async function playerFor(context: AudioContext, order: Order): Promise<AudioWorkletNode> {
  const [module] = await Promise.all([liveModule(), context.audioWorklet.addModule(playerAddress)]);
  const processorOptions: PlayerOptions = { module, order };
  const node = new AudioWorkletNode(context, 'plumbline-player', {
    numberOfInputs: 0,
    outputChannelCount: [1],
    processorOptions,
  });
  await new Promise<void>((ready, failed) => {
    node.onprocessorerror = () => failed(new Ended('broken', 'the worklet ended'));
    node.port.onmessage = ({ data }: MessageEvent<FromPlayer>) => {
      if (data.kind === 'ended') failed(new Ended(data.because, data.detail));
      else ready();
    };
  });
  return node;
}

/** A start by one look at the clocks, good enough to get ready by. */
function startNow(from: From, context: AudioContext): LiveFrom {
  return startBy(from, [reading(context)]);
}

async function startOf(from: From, context: AudioContext): Promise<LiveFrom> {
  return startBy(from, from === 'typed' ? [] : await readings(context));
}

/** A start by what the clocks said. */
function startBy(from: From, readings: Reading[]): LiveFrom {
  switch (from) {
    case 'typed':
      return { from };
    case 'time-of-day':
      return { from, offset_minutes: offsetMinutes(), readings };
    case 'held': {
      const ticking = held.value?.ticking;
      if (ticking === undefined) throw new Ended('let-go');
      return { from, ticking, readings };
    }
  }
}
