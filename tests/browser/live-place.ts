// Live code as a test meets it: the page as it is, with a recorder on its output.

import { cpSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { serve } from '../../scripts/static-server.mjs';
import { MakePlace, type Typed } from './make-place';
import { type Code, reportOf } from './recordings';
import { DIST, expect, Plumbline, type Site, test as base } from './site';

/** A codeword, and the sample of the output at which it begins. */
export type Codeword = { sample: number; address: string };

/** What a change of the digits on the page was, and which sample was at the output just then. */
export type Shown = { address: string; sample: number };

/** What all clocks said at a moment: milliseconds since 1970, and the output's sample. */
export type Clock = { unix: number; sample: number };

export type Capture = {
  hertz: number;
  /** The output's sample that the first of the samples is. */
  first: number;
  samples: Float32Array;
  told: Codeword[];
  shown: Shown[];
  clocks: Clock[];
};

/** What the script in the page keeps. */
type Kept = {
  contexts: AudioContext[];
  recorders: AudioWorkletNode[];
  /** What the page made its player with, and what it told it to play. */
  player?: { options: object; order: number[] };
  told: Codeword[];
  shown: Shown[];
  clocks: Clock[];
  blocks: { frame: number; samples: Float32Array }[];
};

/** The recorder: hands over what comes in, with the number of the first sample. */
const RECORDER = `
  registerProcessor('recorder', class extends AudioWorkletProcessor {
    process([[channel]]) {
      if (channel !== undefined) this.port.postMessage({ frame: currentFrame, samples: channel.slice() });
      return true;
    }
  });
`;

/** Puts a recorder beside every output of the page, and keeps what the player is told and tells.
 * Nothing of what the page does is changed, but for the sample rate that is asked for. */
function listenIn({ hertz, recorder }: { hertz: number | undefined; recorder: string }): void {
  const kept: Kept = {
    contexts: [],
    recorders: [],
    told: [],
    shown: [],
    clocks: [],
    blocks: [],
  };
  Object.assign(globalThis, { kept, outputOf: () => kept.contexts.at(-1)! });

  const outputSample = (context: AudioContext) => {
    const { contextTime, performanceTime } = context.getOutputTimestamp();
    const ahead = (performance.now() - performanceTime!) / 1000;
    return (contextTime! + ahead) * context.sampleRate;
  };

  const ready = new WeakMap<BaseAudioContext, Promise<AudioWorkletNode | undefined>>();
  const Original = AudioContext;
  globalThis.AudioContext = class extends Original {
    constructor(options?: AudioContextOptions) {
      super(hertz === undefined ? options : { ...options, sampleRate: hertz });
      kept.contexts.push(this);
      const added = this.audioWorklet.addModule(recorder).then(() => {
        const node = new AudioWorkletNode(this, 'recorder', {
          channelCount: 1,
          numberOfOutputs: 0,
        });
        node.port.onmessage = ({ data }) => kept.blocks.push(data as Kept['blocks'][number]);
        return node;
      });
      // A context that is closed at once has no recorder.
      ready.set(
        this,
        added.catch(() => undefined),
      );
    }
  };

  const connect = AudioNode.prototype.connect;
  AudioNode.prototype.connect = function (this: AudioNode, ...given: unknown[]) {
    const [target] = given;
    const recorded = target === this.context.destination ? ready.get(this.context) : undefined;
    void recorded?.then((node) => node && Reflect.apply(connect, this, [node]));
    return Reflect.apply(connect, this, given) as AudioNode;
  } as AudioNode['connect'];

  const Node = AudioWorkletNode;
  globalThis.AudioWorkletNode = class extends Node {
    constructor(context: BaseAudioContext, name: string, options?: AudioWorkletNodeOptions) {
      super(context, name, options);
      if (name !== 'plumbline-player') return;
      const player = { options: options!.processorOptions as object, order: [] as number[] };
      kept.player = player;
      const post = this.port.postMessage.bind(this.port);
      this.port.postMessage = (message: { kind: string; order: number[] }) => {
        if (message.kind === 'play') player.order = message.order;
        post(message);
      };
      this.port.addEventListener('message', ({ data }: MessageEvent) => {
        if (data.kind === 'codeword') kept.told.push(data as Codeword);
      });
    }
  };

  // Every change of the large digits, with what is at the output at that moment.
  let last = '';
  new MutationObserver(() => {
    const address = document.querySelector('.live-address .digits')?.textContent ?? '';
    const context = kept.contexts.at(-1);
    if (address === last || context === undefined || !/^\d/.test(address)) return;
    last = address;
    const sample = outputSample(context);
    kept.shown.push({ address, sample });
    kept.clocks.push({ unix: Date.now(), sample: outputSample(context) });
  }).observe(document, { subtree: true, childList: true, characterData: true });
}

export class LivePlace extends MakePlace {
  private readonly files = mkdtempSync(join(tmpdir(), 'plumbline-live-'));

  /** Opens the place, with an output of that many samples a second. */
  async openLive(hertz?: number, fragment = '#make'): Promise<void> {
    const recorder = new URL('recorder.js', this.plumbline.address).href;
    await this.page.addInitScript(listenIn, { hertz, recorder });
    await this.go(fragment);
  }

  get section() {
    return this.page.locator('.live');
  }

  get startButton() {
    return this.section.getByRole('button', { name: 'Start', exact: true });
  }

  get stopButton() {
    return this.section.getByRole('button', { name: 'Stop', exact: true });
  }

  get digits() {
    return this.section.locator('.live-address .digits');
  }

  get ended() {
    return this.section.locator('.live-ended');
  }

  get level() {
    return this.section.getByRole('slider', { name: 'Level, dBFS peak' });
  }

  get flashes() {
    return this.section.locator('.flashes li');
  }

  get status() {
    return this.section.getByRole('status').first();
  }

  /** The addresses that stood on a white screen, since this was asked for the first time. */
  whites(): Promise<string[]> {
    return this.page.evaluate(() => {
      const keep = globalThis as { whites?: string[] };
      if (keep.whites === undefined) {
        const whites: string[] = (keep.whites = []);
        new MutationObserver(() => {
          const white = document.querySelector('.white-screen');
          if (white !== null) whites.push(white.textContent ?? '');
        }).observe(document, { subtree: true, childList: true });
      }
      return keep.whites;
    });
  }

  /** Whether nothing comes out of the newest output any more. */
  isSilent(): Promise<boolean> {
    return this.page.evaluate(async () => {
      const { kept } = globalThis as unknown as { kept: Kept };
      await new Promise((done) => setTimeout(done, 200));
      kept.blocks = [];
      await new Promise((done) => setTimeout(done, 300));
      return kept.blocks.every(({ samples }) => samples.every((sample) => sample === 0));
    });
  }

  async choose(choices: Typed): Promise<void> {
    for (const [label, value] of Object.entries(choices)) {
      await this.section.getByLabel(label, { exact: true }).selectOption({ label: value });
    }
  }

  /** Starts code, and starts again where a busy machine lost sound: that is what the page says
   * then. */
  async start(): Promise<void> {
    await expect(async () => {
      if (await this.startButton.isVisible()) await this.startButton.click();
      await expect(this.digits).toHaveText(/^\d/, { timeout: 5000 });
    }).toPass({ timeout: 40_000 });
  }

  /** Code that played for so many seconds without a break, as it was recorded. Tried again where
   * sound was lost. */
  async capture(seconds: number, level?: string): Promise<Capture> {
    let captured: Capture | undefined;
    await expect(async () => {
      await this.start();
      if (level !== undefined) {
        // Every start is a low one, so each attempt turns it up again, and lets it arrive.
        await this.level.fill(level);
        await this.page.waitForTimeout(500);
      }
      await this.page.evaluate(() => {
        const { kept } = globalThis as unknown as { kept: Kept };
        Object.assign(kept, { told: [], shown: [], clocks: [], blocks: [] });
      });
      await this.page.waitForTimeout(seconds * 1000);
      expect(await this.stopButton.isVisible()).toBe(true);
      await this.stopButton.click();
      captured = await this.recorded();
    }).toPass({ timeout: 100_000 });
    return captured!;
  }

  /** What was recorded since the last capture began. */
  async recorded(): Promise<Capture> {
    const { base64, ...rest } = await this.page.evaluate(async () => {
      const { kept } = globalThis as unknown as { kept: Kept };
      const { blocks, told, shown, clocks, contexts } = kept;
      const first = blocks[0]?.frame ?? 0;
      const last = blocks.at(-1);
      const samples = new Float32Array(last === undefined ? 0 : last.frame - first + 128);
      for (const block of blocks) samples.set(block.samples, block.frame - first);
      const hertz = contexts.at(-1)?.sampleRate ?? 0;
      const reader = new FileReader();
      const read = new Promise((done) => (reader.onload = done));
      reader.readAsDataURL(new Blob([samples]));
      await read;
      const base64 = String(reader.result).split(',')[1] ?? '';
      return { base64, hertz, first, told, shown, clocks };
    });
    return { ...rest, samples: floats(base64) };
  }

  /** What the page’s player plays when a context that has no clock renders it: as many seconds as
   * are asked for. */
  async render(
    hertz: number,
    seconds: number,
  ): Promise<{ samples: Float32Array; told: Codeword[] }> {
    await this.start();
    await this.page.keyboard.press('Escape');
    const player = readdirSync(join(DIST, 'assets')).find((name) => /^player-.*\.js$/.test(name));
    const address = `${this.plumbline.address}assets/${player}`;
    const { base64, told } = await this.page.evaluate(
      async ({ hertz, seconds, address }) => {
        const { kept } = globalThis as unknown as { kept: Kept };
        const { options, order } = kept.player!;
        const context = new OfflineAudioContext(1, hertz * seconds, hertz);
        await context.audioWorklet.addModule(address);
        const node = new AudioWorkletNode(context, 'plumbline-player', {
          numberOfInputs: 0,
          outputChannelCount: [1],
          processorOptions: options,
        });
        node.connect(context.destination);
        const told: { sample: number; address: string }[] = [];
        await new Promise<void>((ready) => {
          node.port.onmessage = ({ data }) => {
            if (data.kind === 'ready') ready();
            if (data.kind === 'codeword') told.push(data);
          };
        });
        node.port.postMessage({ kind: 'play', order });
        await new Promise((done) => setTimeout(done, 300));
        const samples = (await context.startRendering()).getChannelData(0);
        await new Promise((done) => setTimeout(done, 300));
        const reader = new FileReader();
        const read = new Promise((done) => (reader.onload = done));
        reader.readAsDataURL(new Blob([samples]));
        await read;
        return { base64: String(reader.result).split(',')[1] ?? '', told };
      },
      { hertz, seconds, address },
    );
    return { samples: floats(base64), told };
  }

  /** The only code in samples, frame by frame, as the program of the crates reads it. */
  read(samples: Float32Array, hertz: number): Code {
    const path = join(this.files, `${samples.length}.wav`);
    writeFileSync(path, wav(samples, hertz));
    const report = reportOf(path, '--frames');
    expect(report.error).toBeUndefined();
    expect(report.codes).toHaveLength(1);
    return report.codes[0]!;
  }

  override end(): void {
    super.end();
    rmSync(this.files, { recursive: true });
  }
}

function floats(base64: string): Float32Array {
  const bytes = Buffer.from(base64, 'base64');
  return new Float32Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
}

/** A WAV file of floating-point samples, one channel. */
function wav(samples: Float32Array, hertz: number): Buffer {
  const head = Buffer.alloc(44);
  const bytes = samples.length * 4;
  head.write('RIFF', 0, 'latin1');
  head.writeUInt32LE(36 + bytes, 4);
  head.write('WAVEfmt ', 8, 'latin1');
  head.writeUInt32LE(16, 16);
  head.writeUInt16LE(3, 20);
  head.writeUInt16LE(1, 22);
  head.writeUInt32LE(hertz, 24);
  head.writeUInt32LE(hertz * 4, 28);
  head.writeUInt16LE(4, 32);
  head.writeUInt16LE(32, 34);
  head.write('data', 36, 'latin1');
  head.writeUInt32LE(bytes, 40);
  return Buffer.concat([head, Buffer.from(samples.buffer)]);
}

export const test = base.extend<{ live: LivePlace }, { site: Site }>({
  // The page as it was built, with the recorder beside it: its policy lets nothing else in.
  site: [
    async ({}, use) => {
      const folder = mkdtempSync(join(tmpdir(), 'plumbline-site-'));
      cpSync(DIST, folder, { recursive: true });
      writeFileSync(join(folder, 'recorder.js'), RECORDER);
      const site = await serve(folder, { subPath: '/tools/plumbline/' });
      await use(site);
      site.server.close();
      rmSync(folder, { recursive: true });
    },
    { scope: 'worker' },
  ],
  live: async ({ page, site }, use) => {
    const live = new LivePlace(page, new Plumbline(page, site.address));
    await use(live);
    live.end();
    expect(live.plumbline.errors, 'errors in the page').toEqual([]);
  },
});
test.use({ timezoneId: 'Asia/Kolkata' });
