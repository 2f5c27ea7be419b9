import { type Capture, type Codeword, test } from './live-place';
import type { Code } from './recordings';
import { expect } from './site';

type Case = {
  rate: string;
  counting: 'non-drop' | 'drop-frame';
  start: string;
  /** Codewords in a second, and how many addresses are counted in one. */
  perSecond: number;
  base: number;
};

const CASES: Case[] = [
  { rate: '23.976', counting: 'non-drop', start: '23:59:55:00', perSecond: 24000 / 1001, base: 24 },
  { rate: '25', counting: 'non-drop', start: '23:59:55:00', perSecond: 25, base: 25 },
  {
    rate: '29.97',
    counting: 'drop-frame',
    start: '09:00:55;00',
    perSecond: 30000 / 1001,
    base: 30,
  },
];

/** The address after another by the counting rule itself (IEC 60461 clauses 4.2.3, 5.2 and 6.2). */
function next(address: string, { counting, base }: Case): string {
  let [h, m, s, f] = address.split(/[:;]/).map(Number) as [number, number, number, number];
  f += 1;
  if (f === base) [f, s] = [0, s + 1];
  if (s === 60) [s, m] = [0, m + 1];
  if (m === 60) [m, h] = [0, h + 1];
  if (h === 24) h = 0;
  if (counting === 'drop-frame' && s === 0 && f === 0 && m % 10 !== 0) f = 2;
  const two = (number: number) => String(number).padStart(2, '0');
  const separator = counting === 'drop-frame' ? ';' : ':';
  return `${two(h)}:${two(m)}:${two(s)}${separator}${two(f)}`;
}

/** Frames that begin before the sound does, and those that have not ended, are not read. */
const AT_THE_ENDS = 2;

for (const hertz of [44_100, 48_000]) {
  for (const code of CASES) {
    test(`${code.rate} ${code.counting} at ${hertz} Hz, rendered in the browser: all of it, at its place`, async ({
      live,
    }) => {
      await live.openLive(hertz);
      await live.set({
        'Frame rate': code.rate,
        Counting: code.counting,
        'First time address': code.start,
        'Eight digits, group 8 first': '25112601',
      });
      const { samples, told } = await live.render(hertz, 20);
      expect(told[0]?.address).toBe(code.start);
      expect(told.length).toBeGreaterThan(20 * code.perSecond - 2);
      for (const [index, { address }] of told.slice(1).entries()) {
        expect(address).toBe(next(told[index]!.address, code));
      }

      const read = live.read(samples, hertz);
      expect(read).toMatchObject({
        rate: code.rate,
        drop_frame: code.counting === 'drop-frame',
        frames_lost: 0,
      });
      const frames = read.frames!;
      expect(frames.length).toBeGreaterThanOrEqual(told.length - AT_THE_ENDS);
      const first = told.findIndex(({ address }) => address === frames[0]!.timecode);
      for (const [index, frame] of frames.entries()) {
        const { address, sample } = told[first + index]!;
        expect(frame.timecode).toBe(address);
        expect(Math.abs(frame.sample - sample), address).toBeLessThan(0.1);
        expect(frame.user_bits).toBe('25112601');
      }
      // Against the output's own clock: one codeword is exactly so many samples.
      const span = frames.at(-1)!.sample - frames[0]!.sample;
      const wanted = ((frames.length - 1) * hertz) / code.perSecond;
      expect(Math.abs(span / wanted - 1)).toBeLessThan(1e-6);
    });
  }
}

/** Every codeword that was recorded, and the sample of the output at which it begins. */
function codewordsOf(capture: Capture, read: Code): Codeword[] {
  return read.frames!.map(({ timecode, sample }) => ({
    address: timecode,
    sample: sample + capture.first,
  }));
}

/** When a sample was at the output, in milliseconds since 1970: the middle of all readings. */
function whenAtOutput({ clocks, hertz }: Capture): (sample: number) => number {
  const began = clocks.map(({ unix, sample }) => unix - (sample / hertz) * 1000);
  const middle = began.sort((a, b) => a - b)[Math.floor(began.length / 2)]!;
  return (sample) => middle + (sample / hertz) * 1000;
}

/** Milliseconds by which an address is ahead of a time of day, five and a half hours east of UTC,
 * by SMPTE ST 2059-1 clause 9.3.3.4: frames since midnight are real time by the rate. */
function ahead(address: string, unix: number, { counting, base, perSecond }: Case): number {
  const [h, m, s, f] = address.split(/[:;]/).map(Number) as [number, number, number, number];
  const minutes = 60 * h + m;
  const dropped = counting === 'drop-frame' ? 2 * (minutes - Math.floor(minutes / 10)) : 0;
  const frames = (60 * minutes + s) * base + f - dropped;
  const day = 86_400_000;
  const local = (unix + 5.5 * 3_600_000) % day;
  const apart = (frames / perSecond) * 1000 - local;
  return apart - day * Math.round(apart / day);
}

for (const code of [CASES[1]!, CASES[2]!]) {
  test(`${code.rate} ${code.counting} by the time of day: the wire, the page and the clock agree`, async ({
    live,
  }) => {
    test.setTimeout(150_000);
    await live.openLive();
    await live.set({ 'Frame rate': code.rate, Counting: code.counting });
    await live.choose({ 'Starts with': 'this device’s time of day' });
    const capture = await live.capture(6);
    const read = live.read(capture.samples, capture.hertz);
    expect(read.frames_lost).toBe(0);
    const wire = codewordsOf(capture, read);
    expect(wire.length).toBeGreaterThan(5 * code.perSecond);

    // The clock.
    const half = 500 / code.perSecond;
    const when = whenAtOutput(capture);
    for (const { address, sample } of wire) {
      expect(Math.abs(ahead(address, when(sample), code)), address).toBeLessThan(half);
    }

    // The page: when it changes, the codeword that it names is half a frame from where the output
    // is at most. A busy machine is late now and then.
    const length = capture.hertz / code.perSecond;
    const begins = new Map(wire.map(({ address, sample }) => [address, sample]));
    const apart = capture.shown
      .filter(({ address }) => begins.has(address))
      .map(({ address, sample }) => Math.abs(sample - begins.get(address)!) / length);
    expect(apart.length).toBeGreaterThan(wire.length / 4);
    const within = apart.filter((frames) => frames <= 0.5).length;
    expect(within / apart.length).toBeGreaterThan(0.8);
  });
}

test('a jam takes code from a typed address to the time of day', async ({ live }) => {
  test.setTimeout(150_000);
  const [, code] = CASES;
  await live.openLive();
  // Far from whatever time it is.
  const hour = String((new Date(Date.now() + 5.5 * 3_600_000).getUTCHours() + 12) % 24);
  await live.set({ 'First time address': `${hour}:00:00:00` });
  await live.start();
  const typed = new RegExp(`^${hour.padStart(2, '0')}:00:`);
  await expect(live.digits).toHaveText(typed);
  await live.section.getByRole('button', { name: /^Jam/ }).click();
  await expect(live.digits).not.toHaveText(typed);
  await live.page.waitForTimeout(1000);
  const capture = await live.recorded();
  const read = live.read(capture.samples, capture.hertz);
  const wire = codewordsOf(capture, read);
  const when = whenAtOutput(capture);
  const { address, sample } = wire.at(-1)!;
  expect(Math.abs(ahead(address, when(sample), code!))).toBeLessThan(20);
  await live.page.keyboard.press('Escape');
});
