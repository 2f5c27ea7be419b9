// The browser's own decoders, for sound that the module has none for: packets go to them, and what
// they make goes back into the recording.

import { Recording, type Packet, type WantedDecoder } from '../wasm/plumbline';

/** Packets that wait in front of a decoder; more would only take up memory. */
const WAITING = 64;
const MICROSECONDS = 1e6;

/**
 * A recording, and the browser's decoders that it wants. Where the browser has not got one of
 * them, the recording is opened without any, and says what that means.
 */
export async function openWithDecoders(file: File): Promise<[Recording, BrowserDecoders]> {
  const recording = Recording.open(file);
  const wanted = recording.decoders();
  if (wanted.length === 0) return [recording, new BrowserDecoders(recording, [])];
  if (await areThere(wanted)) return [recording, new BrowserDecoders(recording, wanted)];
  const alone = openAlone(file, recording);
  return [alone, new BrowserDecoders(alone, [])];
}

/** The recording opened anew, for which the browser's decoders are of no use. */
export function openAlone(file: File, recording: Recording): Recording {
  recording.free();
  return Recording.open_alone(file);
}

function configOf(wanted: WantedDecoder): AudioDecoderConfig {
  return {
    codec: wanted.codec,
    sampleRate: wanted.sample_rate,
    numberOfChannels: wanted.channels,
    description: wanted.description,
  };
}

async function areThere(wanted: readonly WantedDecoder[]): Promise<boolean> {
  if (typeof AudioDecoder === 'undefined') return false;
  const asked = wanted.map((decoder) => AudioDecoder.isConfigSupported(configOf(decoder)));
  // A browser may refuse a set-up by throwing.
  const answers = await Promise.allSettled(asked);
  return answers.every((answer) => answer.status === 'fulfilled' && answer.value.supported);
}

/** All decoders of a recording. */
export class BrowserDecoders {
  private readonly decoders: Map<number, TrackDecoder>;

  constructor(
    private readonly recording: Recording,
    wanted: readonly WantedDecoder[],
  ) {
    this.decoders = new Map(
      wanted.map((decoder) => [decoder.track, new TrackDecoder(recording, decoder)]),
    );
  }

  /** Whether one makes something else than the file states: its sound can't be placed. */
  get unfit(): boolean {
    return [...this.decoders.values()].some((decoder) => decoder.unfit);
  }

  /** Decodes the packets that are there now, as long as there is need for them. */
  async decode(wanted: () => boolean): Promise<void> {
    while (!this.unfit && wanted()) {
      const packet = this.recording.next_packet();
      if (packet === undefined) return;
      await this.decoders.get(packet.track)?.decode(packet);
    }
  }

  /** Waits until everything that was given in has come out. */
  async flush(): Promise<void> {
    for (const decoder of this.decoders.values()) await decoder.flush();
  }

  close(): void {
    for (const decoder of this.decoders.values()) decoder.close();
  }
}

/** A packet that was given in. */
type Sent = { at: number; chunk: EncodedAudioChunk };

/** The decoder of one track. */
class TrackDecoder {
  unfit = false;
  private readonly config: AudioDecoderConfig;
  private readonly rate: number;
  private readonly track: number;
  /** What was given in and has not come out, in order. */
  private sent: Sent[] = [];
  private decoder: AudioDecoder;
  private samples = new Float32Array();
  /** Tells whoever waits that something came out, or broke. */
  private stirred: () => void = () => undefined;

  constructor(
    private readonly recording: Recording,
    wanted: WantedDecoder,
  ) {
    this.config = configOf(wanted);
    this.rate = wanted.sample_rate;
    this.track = wanted.track;
    this.decoder = this.start();
  }

  private start(): AudioDecoder {
    const decoder = new AudioDecoder({
      output: (data) => this.take(data),
      error: () => this.broke(decoder),
    });
    decoder.ondequeue = () => this.stirred();
    decoder.configure(this.config);
    return decoder;
  }

  async decode(packet: Packet): Promise<void> {
    const { at, frames } = packet;
    const chunk = new EncodedAudioChunk({
      type: 'key',
      timestamp: this.time(at),
      duration: this.time(frames),
      data: packet.into_bytes(),
    });
    this.sent.push({ at, chunk });
    this.decoder.decode(chunk);
    while (this.sent.length > WAITING && this.decoder.decodeQueueSize > 0) await this.stir();
  }

  async flush(): Promise<void> {
    // One that breaks is started anew with what is left.
    while (this.sent.length > 0) {
      const before = this.sent.length;
      await this.decoder.flush().catch(() => undefined);
      if (this.sent.length === before) return;
    }
  }

  close(): void {
    if (this.decoder.state !== 'closed') this.decoder.close();
  }

  private stir(): Promise<void> {
    return new Promise((done) => {
      this.stirred = done;
    });
  }

  private time(frames: number): number {
    return Math.round((frames * MICROSECONDS) / this.rate);
  }

  /** Where samples stand says their time, not their order: a decoder may leave something out. */
  private take(data: AudioData): void {
    this.unfit ||= data.sampleRate !== this.rate;
    const at = Math.round((data.timestamp * this.rate) / MICROSECONDS);
    this.sent = this.sent.filter((sent) => sent.at > at);
    const { numberOfChannels: channels, numberOfFrames: frames } = data;
    if (this.samples.length !== channels * frames) {
      this.samples = new Float32Array(channels * frames);
    }
    for (let channel = 0; channel < channels; channel += 1) {
      const plane = this.samples.subarray(channel * frames, (channel + 1) * frames);
      data.copyTo(plane, { planeIndex: channel, format: 'f32-planar' });
    }
    data.close();
    this.recording.decoded(this.track, at, this.samples, channels);
    this.stirred();
  }

  /** A decoder ends at a packet that it can't decode: the next one goes on behind it. */
  private broke(decoder: AudioDecoder): void {
    if (decoder !== this.decoder) return;
    const lost = this.sent.shift();
    if (lost !== undefined) this.recording.lost(this.track, lost.at);
    this.decoder = this.start();
    for (const { chunk } of this.sent) this.decoder.decode(chunk);
    this.stirred();
  }
}
