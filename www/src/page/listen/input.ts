// One input that is captured: the microphone or line socket that somebody chose, with nothing
// between it and the worker that listens.

import type { FromCapture, ToCapture } from '../../protocol/capture';
import type { InputFacts } from '../../protocol/listen';
import captureAddress from '../../worklet/capture.ts?worker&url';
import { mediaDevices } from '../devices';
import { offsetMinutes } from '../make/live/clocks';
import { timeOfDayAhead } from './held';
import { type Because, Stopped } from './stopped';

/** What a browser may do to sound on its way, all of it unwanted. */
const PROCESSING = ['echoCancellation', 'noiseSuppression', 'autoGainControl'] as const;
export type Processing = (typeof PROCESSING)[number];

/** What is known of an input. */
export type About = {
  /** Its name, where the browser gives one. */
  label: string;
  hertz: number;
  /** Processing that the browser would not leave off. */
  processed: readonly Processing[];
  /** Processing of which the browser does not say whether it is off. */
  unknown: readonly Processing[];
  /** In milliseconds, by the browser's account; none where it gives none. */
  latency: number | undefined;
};

/** No input that people have has more channels. */
const CHANNELS = 32;
/** Milliseconds that a browser may take to let sound in. */
const PATIENCE = 3000;
/** Milliseconds between two looks at the clock: it fits into no length of a piece of sound. */
const LOOK = 31;

type Told = {
  /** The input has so many channels: from now on its sound comes out of the port. */
  begins: (input: InputFacts, sound: MessagePort) => void;
  clock: (pageMilliseconds: number, samples: number) => void;
  /** It ended, and not because it was asked to. */
  ended: (ended: Stopped) => void;
};

/** Not every browser has all of these. */
type Settings = MediaTrackSettings & { latency?: number };

export class Input {
  private readonly off = new AbortController();
  private timer: ReturnType<typeof setInterval> | undefined;
  private node: AudioWorkletNode | undefined;

  /** Opens the input with that id; without one, that which the system has chosen. */
  static async open(id: string, told: Told): Promise<Input> {
    const stream = await ask(id);
    const track = stream.getAudioTracks()[0];
    if (track === undefined) throw new Stopped('no-input');
    const context = await openContext(track);
    try {
      await context.audioWorklet.addModule(captureAddress);
      return new Input(stream, track, context, told);
    } catch (error) {
      stream.getTracks().forEach((each) => each.stop());
      void context.close();
      throw error;
    }
  }

  private constructor(
    private readonly stream: MediaStream,
    private readonly track: MediaStreamTrack,
    private readonly context: AudioContext,
    private readonly told: Told,
  ) {
    this.capture();
    this.guard();
    this.timer = setInterval(() => this.look(), LOOK);
  }

  get about(): About {
    const settings = this.track.getSettings() as Settings;
    return {
      label: this.track.label,
      hertz: this.context.sampleRate,
      processed: PROCESSING.filter((kind) => settings[kind] === true),
      unknown: PROCESSING.filter((kind) => settings[kind] === undefined),
      latency: latencyOf(this.track, this.context),
    };
  }

  stop(): void {
    this.off.abort();
    clearInterval(this.timer);
    this.node?.disconnect();
    this.stream.getTracks().forEach((track) => track.stop());
    if (this.context.state !== 'closed') void this.context.close();
  }

  private capture(): void {
    const { port1: here, port2: there } = new MessageChannel();
    const node = new AudioWorkletNode(this.context, 'plumbline-capture', {
      numberOfOutputs: 0,
      channelCountMode: 'max',
      channelInterpretation: 'discrete',
    });
    const to: ToCapture = { kind: 'to', port: there };
    node.port.postMessage(to, [there]);
    this.node = node;
    let begun = 0;
    node.port.onmessage = ({ data }: MessageEvent<FromCapture>) => {
      // Channels that come or go make it another input.
      if (begun > 0) return this.end('channels');
      begun = data.channels;
      this.told.begins(this.facts(data.channels), here);
    };
    node.onprocessorerror = () => this.end('broken');
    this.context.createMediaStreamSource(this.stream).connect(node);
  }

  private facts(channels: number): InputFacts {
    return {
      hertz: this.context.sampleRate,
      channels,
      latency: latencyOf(this.track, this.context) ?? 0,
      time_of_day_ahead: timeOfDayAhead(),
      offset_minutes: offsetMinutes(),
    };
  }

  private look(): void {
    const { currentTime, sampleRate } = this.context;
    this.told.clock(performance.now(), Math.round(currentTime * sampleRate));
  }

  private guard(): void {
    const { signal } = this.off;
    this.track.addEventListener('ended', () => this.end('vanished'), { signal });
    this.context.addEventListener(
      'statechange',
      () => {
        if (this.context.state !== 'running') this.end('suspended');
      },
      { signal },
    );
    document.addEventListener('freeze', () => this.end('frozen'), { signal });
  }

  private end(because: Because): void {
    this.stop();
    this.told.ended(new Stopped(because));
  }
}

async function ask(id: string): Promise<MediaStream> {
  const devices = mediaDevices();
  if (devices === undefined) throw new Stopped('not-to-be-had');
  const wanted: MediaTrackConstraints = {
    echoCancellation: false,
    noiseSuppression: false,
    autoGainControl: false,
    channelCount: { ideal: CHANNELS },
    ...(id === '' ? {} : { deviceId: { exact: id } }),
  };
  try {
    return await devices.getUserMedia({ audio: wanted });
  } catch (error) {
    throw refused(error);
  }
}

function refused(error: unknown): Stopped {
  const name = error instanceof DOMException ? error.name : '';
  const detail = error instanceof Error ? error.message : String(error);
  switch (name) {
    case 'NotAllowedError':
    case 'SecurityError':
      return new Stopped('refused', detail);
    case 'NotFoundError':
    case 'OverconstrainedError':
      return new Stopped('no-input', detail);
    case 'NotReadableError':
    case 'AbortError':
      return new Stopped('taken', detail);
    default:
      return new Stopped('broken', detail);
  }
}

/** A context at the input's own rate, so that nothing is resampled on the way. */
async function openContext(track: MediaStreamTrack): Promise<AudioContext> {
  const { sampleRate } = track.getSettings();
  const options: AudioContextOptions = { latencyHint: 'interactive' };
  const context = new AudioContext(sampleRate === undefined ? options : { ...options, sampleRate });
  const enough = new Promise((done) => setTimeout(done, PATIENCE));
  await Promise.race([context.resume(), enough]);
  if (context.state === 'running') return context;
  track.stop();
  void context.close();
  throw new Stopped('suspended');
}

/** What browser and system say of the way from the socket to the worklet, in milliseconds. */
function latencyOf(track: MediaStreamTrack, context: AudioContext): number | undefined {
  const { latency } = track.getSettings() as Settings;
  if (latency === undefined) return undefined;
  return (latency + context.baseLatency) * 1000;
}
