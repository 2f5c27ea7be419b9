// The recordings that the tests drop on the page: the demo recording, and copies of it that
// something has happened to. Made once, before the tests.

import { execFileSync } from 'node:child_process';
import { mkdirSync, openSync, ftruncateSync, rmSync, writeSync, closeSync } from 'node:fs';
import { readFileSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';

export const ROOT = join(import.meta.dirname, '..', '..');
const FOLDER = join(ROOT, 'tests', '.cache', 'recordings');

export const recordings = {
  demo: join(FOLDER, 'demo.wav'),
  cutOff: join(FOLDER, 'cut-off.wav'),
  empty: join(FOLDER, 'empty.wav'),
  text: join(FOLDER, 'call-sheet.wav'),
  headerOnly: join(FOLDER, 'header-only.wav'),
  notFinite: join(FOLDER, 'not-finite.wav'),
  script: join(FOLDER, 'script-in-scene.wav'),
  notXml: join(FOLDER, 'not-xml.wav'),
  buried: join(FOLDER, 'engine-room.wav'),
  faint: join(FOLDER, 'far-quay.wav'),
  silence: join(FOLDER, 'two-hours-of-nothing.wav'),
  longTake: join(FOLDER, 'slack-water.wav'),
  camera: join(FOLDER, 'north-quay.mov'),
  phone: join(FOLDER, 'memo.m4a'),
  unfinished: join(FOLDER, 'battery-died.mov'),
  /** The code leaks into the channel of the sound, 30 dB down. */
  leaking: join(FOLDER, 'boom-beside-code.wav'),
  pictures: join(FOLDER, 'gulls.mp4'),
};

/** A folder with three devices' recordings of one morning, and a file that is no recording. */
export const shoot = {
  folder: join(FOLDER, 'ferry, day 2'),
  /** Folder and name, first address, length and rate. */
  recordings: [
    ['sound bag/bell_01.wav', '09:07:06:12', '00:00:20:00', '25'],
    ['sound bag/bell_02.wav', '09:09:06:12', '00:00:30:00', '25'],
    ['sound bag/bell_03.wav', '09:13:00:00', '00:00:20:00', '25'],
    ['deck camera/rail_01.wav', '09:07:09:00', '00:00:15:00', '25'],
    ['deck camera/rail_02.wav', '09:09:10:03', '00:00:18:00', '25'],
    ['bridge camera/B01.wav', '09:07:03:00', '00:00:25:00', '25'],
    ['bridge camera/B02.wav', '09:13:02:00', '00:00:25:00', '29.97'],
  ],
} as const;

/** A recorder with code beside its sound, and a phone that heard the same and has no code. */
export const together = {
  recorder: join(FOLDER, 'pier', 'boom.wav'),
  phone: join(FOLDER, 'pier', 'memo.wav'),
  /** A second recorder, which began five seconds later. */
  second: join(FOLDER, 'pier', 'stern.wav'),
  /** Where the phone's first sample lies in the recorder's file: 163 1/4 frames of 25 a second. */
  later: 313_440,
} as const;

/** What a cable carries: code from ten o'clock on, and the same from two devices, of which the one
 * on the second channel runs fast. */
export const cable = {
  one: join(FOLDER, 'cable.wav'),
  two: join(FOLDER, 'two-cables.wav'),
  nothing: join(FOLDER, 'no-cable.wav'),
  /** The code of the first, in noise 14 dB below it. */
  noisy: join(FOLDER, 'noisy-cable.wav'),
  /** The code of the first, of which nothing comes from the sixth second to the tenth. */
  pulled: join(FOLDER, 'pulled-cable.wav'),
  /** By how much: a recorder at 48,001 samples a second whose file says 48,000. */
  ppm: 1e6 / 48_000,
} as const;

/** Code whose first edge is known, in what only the browser decodes. */
export const compressed = {
  /** The same before it was compressed. */
  plain: join(FOLDER, 'compressed', 'winch.wav'),
  /** Where the first codeword begins: an odd place, so that no packet begins there. */
  begins: 4801,
  /** Name, and what FFmpeg is asked for. */
  files: [
    ['winch.opus', '-c:a libopus -b:a 256k'],
    ['winch mono.opus', '-af pan=mono|c0=c1 -c:a libopus -b:a 128k'],
    // Packets of 60 and of 2.5 ms, the longest and the shortest.
    ['winch long.opus', '-c:a libopus -b:a 256k -frame_duration 60'],
    ['winch short.ogg', '-c:a libopus -b:a 256k -frame_duration 2.5'],
    // No lookahead for speech: a run-in of 120 samples instead of 312.
    ['winch low delay.opus', '-c:a libopus -b:a 256k -application lowdelay'],
    ['winch.webm', '-c:a libopus -b:a 256k'],
    ['winch.mka', '-c:a libopus -b:a 256k'],
    ['winch.mp4', '-c:a libopus -b:a 256k'],
    [
      'winch in pieces.mp4',
      '-c:a libopus -b:a 256k -movflags +frag_keyframe+empty_moov+delay_moov -frag_duration 500000',
    ],
    [
      'winch of six.opus',
      '-af pan=5.1|FL=c0|FC=c1|FR=c0|BL=c0|BR=c0|LFE=c0 -c:a libopus -b:a 768k',
    ],
    ['winch of six.m4a', '-af pan=5.1|FL=c0|FC=c1|FR=c0|BL=c0|BR=c0|LFE=c0 -c:a aac -b:a 768k'],
  ],
  /** HE-AAC, and what FFmpeg decodes it to: its own delay stays in, as nothing in the file tells it. */
  bands: join(FOLDER, 'compressed', 'winch bands.m4a'),
  bandsDecoded: join(FOLDER, 'compressed', 'winch bands.wav'),
  /** Opus with a packet that is none. */
  damaged: join(FOLDER, 'compressed', 'winch damaged.mp4'),
} as const;

export default function make(): void {
  mkdirSync(FOLDER, { recursive: true });
  const demo = wav(readFileSync(makeDemo()));
  const half = Math.floor(demo.data.length / 2 / demo.blockAlign) * demo.blockAlign;

  writeFileSync(recordings.demo, demo.bytes);
  writeFileSync(recordings.cutOff, demo.bytes.subarray(0, demo.dataAt + half));
  writeFileSync(recordings.empty, '');
  writeFileSync(recordings.text, 'Deck, dawn. Two cameras, sound on the bridge.\n'.repeat(40));
  writeFileSync(recordings.headerOnly, riff([chunk('fmt ', demo.format), chunk('data', empty)]));
  writeFileSync(recordings.notFinite, notFinite(demo));
  writeFileSync(recordings.script, withIxml(demo, scene('<script>document.title="x"</script>')));
  writeFileSync(recordings.notXml, withIxml(demo, '<BWFXML><SCENE>12</BWFXML'));
  writeFileSync(recordings.buried, underNoise(20));
  writeFileSync(recordings.faint, underNoise(27));
  silence(recordings.silence, 3_000_000_000);
  withHole(recordings.longTake, 900_000_000, demo.format, demo.data);
  movies();
  morning();
  heardTogether();
  cables();
  compress();
  // Compiled here, so that no test waits for it.
  reportOf(recordings.demo);
}

/** Films by FFmpeg: pictures, the demo's sound twice and a timecode track; and sound alone. */
function movies(): void {
  const pictures = ['-f', 'lavfi', '-i', 'testsrc=size=64x64:rate=25'];
  const twice = ['-map', '0', '-map', '1', '-map', '1', '-shortest', '-c:v', 'mpeg4'];
  const stamped = ['-c:a', 'pcm_s24le', '-timecode', '14:03:20:06'];
  ffmpeg(...pictures, '-i', recordings.demo, ...twice, ...stamped, recordings.camera);
  ffmpeg('-i', recordings.demo, '-c:a', 'aac', '-b:a', '192k', recordings.phone);
  ffmpeg(...pictures, '-t', '1', '-c:v', 'mpeg4', recordings.pictures);
  const leak = ['-af', 'pan=stereo|c0=c0+0.03*c1|c1=c1', '-c:a', 'pcm_s24le'];
  ffmpeg('-i', recordings.demo, ...leak, recordings.leaking);
  const whole = readFileSync(recordings.camera);
  // The index is the last thing that is written.
  writeFileSync(recordings.unfinished, whole.subarray(0, whole.lastIndexOf('moov') - 4));
}

function ffmpeg(...options: string[]): void {
  execFileSync('ffmpeg', ['-v', 'error', '-y', '-bitexact', ...options]);
}

function morning(): void {
  // What an earlier run made may have other names.
  rmSync(shoot.folder, { recursive: true, force: true });
  for (const [name, start, length, rate] of shoot.recordings) {
    const path = join(shoot.folder, name);
    mkdirSync(dirname(path), { recursive: true });
    const settings = [`rate=${rate}`, `start=${start}`, `length=${length}`, 'samples=16'];
    writeFileSync(path, tone('sample_rate=48000', ...settings));
  }
  writeFileSync(join(shoot.folder, 'deck camera', 'lens notes.txt'), 'Two filters.');
}

function cables(): void {
  const settings = ['rate=25', 'start=10:00:00:00', 'length=00:05:00:00', 'sample_rate=48000'];
  writeFileSync(cable.one, tone(...settings, 'samples=16'));
  const fast =
    '[0]asetrate=48001,aresample=48000[fast];[1][fast]join=inputs=2:channel_layout=stereo';
  ffmpeg('-i', cable.one, '-i', cable.one, '-filter_complex', fast, cable.two);
  ffmpeg('-f', 'lavfi', '-i', 'anullsrc=r=48000:cl=mono', '-t', '5', cable.nothing);
  // Noise of even distribution up to a level has a third of its square.
  const noise = `anoisesrc=r=48000:seed=5:a=${(CODE_LEVEL * Math.sqrt(3)) / 5}`;
  const both = ['-filter_complex', 'amix=duration=first:normalize=0'];
  ffmpeg('-i', cable.one, '-f', 'lavfi', '-i', noise, ...both, cable.noisy);
  const pulled = ['-af', "volume=0:enable='between(t,6,10)'", '-t', '60'];
  ffmpeg('-i', cable.one, ...pulled, cable.pulled);
}

/** How loud code is that nobody asked to be otherwise: -18 dBFS. */
const CODE_LEVEL = 10 ** (-18 / 20);

export function heardTogether(): void {
  const settings = ['rate=25', 'start=10:00:00:00', 'length=00:00:30:00', 'sample_rate=48000'];
  const code = wav(tone(...settings, 'samples=16')).data;
  const place = swellingNoise(code.length / 2);
  const heard = place.subarray(together.later * 2, (together.later + 18 * 48_000) * 2);
  mkdirSync(dirname(together.recorder), { recursive: true });
  writeFileSync(together.recorder, inSixteenBits(place, code));
  writeFileSync(together.phone, inSixteenBits(heard));
  const fromFifth = [place, code].map((sound) => sound.subarray(5 * 48_000 * 2));
  writeFileSync(together.second, inSixteenBits(...fromFifth));
}

export function compress(): void {
  const silence = Buffer.alloc(compressed.begins * 2);
  const settings = ['rate=25', 'start=10:00:00:00', 'length=00:00:10:00', 'sample_rate=48000'];
  const code = Buffer.concat([silence, wav(tone(...settings, 'samples=16')).data]);
  mkdirSync(dirname(compressed.plain), { recursive: true });
  writeFileSync(compressed.plain, inSixteenBits(swellingNoise(code.length / 2), code));
  for (const [name, options] of compressed.files) {
    ffmpeg('-i', compressed.plain, ...options.split(' '), besides(compressed.plain, name));
  }
  replicateBands();
  damage();
}

/**
 * The core of HE-AAC, whose set-up then says that it is band-replicated (ISO/IEC 14496-3, 1.6.2.1):
 * no free encoder makes the rest, and a decoder does without it.
 */
function replicateBands(): void {
  const { plain, bands, bandsDecoded } = compressed;
  ffmpeg('-i', plain, '-ar', '24000', '-c:a', 'aac', '-b:a', '192k', bands);
  const file = readFileSync(bands);
  const setup = file.indexOf(Buffer.from('131056e500', 'hex'));
  // Object type 5, 24 kHz, stereo, 48 kHz, object type 2.
  Buffer.from('2b11880000', 'hex').copy(file, setup);
  writeFileSync(bands, file);
  ffmpeg('-i', bands, bandsDecoded);
}

/** A packet of several frames (RFC 6716, 3.2.5) that says it has none. */
function damage(): void {
  const file = readFileSync(besides(compressed.plain, 'winch.mp4'));
  const sizes = file.indexOf('stsz') + 16;
  let at = file.indexOf('mdat') + 4;
  for (let packet = 0; packet < 100; packet += 1) at += file.readUInt32BE(sizes + 4 * packet);
  file.set([0xff, 0], at);
  writeFileSync(compressed.damaged, file);
}

/** Another file in the folder of one. */
export function besides(path: string, name: string): string {
  return join(dirname(path), name);
}

/** Noise that swells and fades some times a second, as voices do, in 16 bits. */
function swellingNoise(length: number): Buffer {
  const random = normal(11);
  const samples = Buffer.alloc(length * 2);
  let [level, wanted] = [0, 0];
  for (let index = 0; index < length; index += 1) {
    if (index % 6000 === 0) wanted = Math.min(2, Math.abs(random()) ** 3);
    level += 1e-3 * (wanted - level);
    const sample = Math.round(2000 * level * random());
    samples.writeInt16LE(Math.max(-32_768, Math.min(32_767, sample)), index * 2);
  }
  return samples;
}

/** A WAV of 48 kHz with a channel of each, all of one length. */
function inSixteenBits(...channels: readonly Buffer[]): Buffer {
  const width = 2 * channels.length;
  const data = Buffer.alloc(channels.reduce((total, { length }) => total + length, 0));
  for (const [number, channel] of channels.entries()) {
    for (let at = 0; at < channel.length; at += 2) {
      channel.copy(data, (at / 2) * width + number * 2, at, at + 2);
    }
  }
  const format = Buffer.alloc(16);
  format.writeUInt16LE(1, 0);
  format.writeUInt16LE(channels.length, 2);
  format.writeUInt32LE(48_000, 4);
  format.writeUInt32LE(48_000 * width, 8);
  format.writeUInt16LE(width, 12);
  format.writeUInt16LE(16, 14);
  return riff([chunk('fmt ', format), chunk('data', data)]);
}

/** A timecode tone with these settings. */
function tone(...settings: string[]): Buffer {
  const options = ['run', '--release', '--quiet', '-p', 'plumbline-tone', '--example', 'make'];
  return execFileSync('cargo', [...options, '--', ...settings], {
    cwd: ROOT,
    maxBuffer: 1 << 26,
  });
}

/** What the program of the crates says about a file, without the page; `--frames` is an option. */
export function reportOf(path: string, ...options: string[]): Report {
  try {
    return JSON.parse(example('plumbline-shoot', 'read', ...options, path)) as Report;
  } catch (error) {
    // It ends with status 1 for a file that it could not read, and says why on its output.
    const { stdout } = error as { stdout?: string };
    if (stdout === undefined || stdout === '') throw error;
    return JSON.parse(stdout) as Report;
  }
}

export type Report = {
  file: string;
  container: string;
  sample_rate: number;
  bits: number;
  channels: number;
  samples: number;
  suspected?: {
    channel: number;
    at: string;
    odds_log10: number;
    text: string;
  }[];
  embedded: { source: string; start: string; samples_since_midnight: number }[];
  codes: Code[];
  error?: { kind: string; at?: number; text: string; remedy: string };
};

export type Code = {
  channel: number;
  rate: string;
  drop_frame: boolean;
  level_dbfs: number;
  start: string;
  start_samples_since_midnight?: number;
  frames_read: number;
  frames_lost: number;
  stretches: {
    first: string;
    last: string;
    first_sample: number;
    evidence: string;
    user_bits: string;
  }[];
  findings: { kind: string }[];
  /** With `--frames` only. */
  frames?: {
    timecode: string;
    drop_frame: boolean;
    sample: number;
    user_bits: string;
  }[];
};

function makeDemo(): string {
  return example('plumbline-page', 'demo', FOLDER).trim();
}

function example(crate: string, name: string, ...given: string[]): string {
  const options = ['run', '--release', '--quiet', '-p', crate, '--example', name, '--', ...given];
  return execFileSync('cargo', options, { cwd: ROOT, encoding: 'utf8' });
}

const empty = Buffer.alloc(0);

type Wav = {
  bytes: Buffer;
  format: Buffer;
  data: Buffer;
  dataAt: number;
  blockAlign: number;
};

/** The parts of a WAV file that we made ourselves: no more than these tests need. */
export function wav(bytes: Buffer): Wav {
  const parts: { format?: Buffer; data?: Buffer; dataAt?: number } = {};
  for (let at = 12; at + 8 <= bytes.length;) {
    const length = bytes.readUInt32LE(at + 4);
    const content = bytes.subarray(at + 8, at + 8 + length);
    const id = bytes.toString('latin1', at, at + 4);
    if (id === 'fmt ') parts.format = content;
    if (id === 'data') Object.assign(parts, { data: content, dataAt: at + 8 });
    at += 8 + length + (length % 2);
  }
  const { format, data, dataAt } = parts;
  if (format === undefined || data === undefined || dataAt === undefined) {
    throw new Error('the demo recording has no fmt or no data chunk');
  }
  return { bytes, format, data, dataAt, blockAlign: format.readUInt16LE(12) };
}

function chunk(id: string, content: Buffer): Buffer {
  const head = Buffer.alloc(8);
  head.write(id, 'latin1');
  head.writeUInt32LE(content.length, 4);
  return Buffer.concat([head, content, Buffer.alloc(content.length % 2)]);
}

function riff(chunks: readonly Buffer[]): Buffer {
  return chunk('RIFF', Buffer.concat([Buffer.from('WAVE'), ...chunks]));
}

function withIxml({ format, data }: Wav, ixml: string): Buffer {
  return riff([chunk('fmt ', format), chunk('iXML', Buffer.from(ixml)), chunk('data', data)]);
}

function scene(name: string): string {
  const escaped = name.replaceAll('<', '&lt;').replaceAll('>', '&gt;');
  return `<?xml version="1.0"?><BWFXML><SCENE>${escaped}</SCENE><TAKE>3</TAKE></BWFXML>`;
}

/** The same sound as 32-bit float, with a few samples that are no numbers. */
function notFinite({ format, data }: Wav): Buffer {
  const width = format.readUInt16LE(14) / 8;
  const count = Math.floor(data.length / width);
  const floats = Buffer.alloc(count * 4);
  for (let index = 0; index < count; index += 1) {
    const sample = data.readIntLE(index * width, width) / 2 ** (8 * width - 1);
    floats.writeFloatLE(
      index % 4096 === 7 ? [NaN, Infinity, -Infinity][index % 3]! : sample,
      index * 4,
    );
  }
  const channels = format.readUInt16LE(2);
  const rate = format.readUInt32LE(4);
  const float = Buffer.alloc(16);
  float.writeUInt16LE(3, 0);
  float.writeUInt16LE(channels, 2);
  float.writeUInt32LE(rate, 4);
  float.writeUInt32LE(rate * channels * 4, 8);
  float.writeUInt16LE(channels * 4, 12);
  float.writeUInt16LE(32, 14);
  return riff([chunk('fmt ', float), chunk('data', floats)]);
}

/** Ten seconds of code so many decibels below noise. */
function underNoise(decibels: number): Buffer {
  const level = 0.1 * 10 ** (-decibels / 20);
  const settings = ['rate=25', 'start=14:03:20:00', 'length=00:00:10:00', 'sample_rate=48000'];
  const made = tone(...settings, 'samples=16', 'level=0');
  const { format, data } = wav(made);
  const noisy = Buffer.from(data);
  const random = normal(7);
  for (let at = 0; at + 1 < noisy.length; at += 2) {
    const sample = noisy.readInt16LE(at) * level + 3276.8 * random();
    noisy.writeInt16LE(Math.max(-32_768, Math.min(32_767, Math.round(sample))), at);
  }
  return riff([chunk('fmt ', format), chunk('data', noisy)]);
}

/** Normally distributed numbers from a seed (xorshift; Box and Muller, 1958). */
function normal(seed: number): () => number {
  let state = seed;
  const uniform = () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return ((state >>> 0) + 0.5) / 2 ** 32;
  };
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}

/** A long recording that takes no room on the disk: silence, in a file with a hole. */
function silence(path: string, length: number): void {
  const format = Buffer.alloc(16);
  format.writeUInt16LE(1, 0);
  format.writeUInt16LE(2, 2);
  format.writeUInt32LE(48_000, 4);
  format.writeUInt32LE(48_000 * 6, 8);
  format.writeUInt16LE(6, 12);
  format.writeUInt16LE(24, 14);
  withHole(path, length, format, empty);
}

/** Some sound and then nothing, in a file with a hole. */
function withHole(path: string, length: number, format: Buffer, before: Buffer): void {
  const head = riff([chunk('fmt ', format), chunk('data', empty)]);
  head.writeUInt32LE(head.length - 8 + length, 4);
  head.writeUInt32LE(length, head.length - 4);
  const file = openSync(path, 'w');
  writeSync(file, head);
  writeSync(file, before);
  ftruncateSync(file, head.length + length);
  closeSync(file);
}

/** The name under which the page shows a recording. */
export function nameOf(path: string): string {
  return basename(path);
}
