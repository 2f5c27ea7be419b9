import { type Capture, type Codeword, test } from './live-place';
import type { Code } from './recordings';
import { expect } from './site';

/** The page's newest output; it is asked for inside the page. */
declare function outputOf(): AudioContext;

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

// Where other work keeps the machine from playing in time, the page stops, as it should: then a test
// is tried again on what is left.
test.describe.configure({ retries: 2 });

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

test.describe('what disturbs the sound ends the code, with what happened and what to do', () => {
  /** Each as the browser would bring it about, or tell of it. */
  const DISTURBANCES: [what: string, disturb: () => void, said: RegExp][] = [
    ['put aside', () => void outputOf().suspend(), /put the sound aside.*Keep this page in front/],
    ['closed', () => void outputOf().close(), /closed the output/],
    [
      'another device',
      () => void navigator.mediaDevices.dispatchEvent(new Event('devicechange')),
      /device was plugged in or taken away.*Check what is plugged in/,
    ],
    [
      'another output',
      () => void outputOf().dispatchEvent(new Event('sinkchange')),
      /went over to another device/,
    ],
    [
      'a page put on ice',
      () => void document.dispatchEvent(new Event('freeze')),
      /froze this page/,
    ],
    [
      'sound that comes 13 ms late from now on',
      () => {
        const { getOutputTimestamp } = AudioContext.prototype;
        AudioContext.prototype.getOutputTimestamp = function () {
          const { contextTime, performanceTime } = getOutputTimestamp.call(this);
          return { contextTime: contextTime! - 0.013, performanceTime: performanceTime! };
        };
      },
      /all at once the code came out 1\d ms late/,
    ],
  ];
  for (const [what, disturb, said] of DISTURBANCES) {
    test(what, async ({ live, page }) => {
      await live.openLive();
      await live.start();
      await live.level.fill('-20');
      await page.evaluate(disturb);
      await expect(live.ended).toContainText(/^Stopped\./);
      await expect(live.ended).toContainText(said);
      await expect(page.locator('.live-bar')).toBeHidden();
      expect(await live.isSilent()).toBe(true);
      // Whatever is plugged in next, it starts low.
      await expect(live.level).toHaveValue('-40');
      await live.start();
      await expect(live.ended).toBeHidden();
      await live.stopButton.click();
    });
  }
});

test('it starts at −40 dBFS, and is as loud as is asked for', async ({ live }) => {
  test.setTimeout(150_000);
  await live.openLive();
  await expect(live.level).toHaveValue('-40');
  await expect(live.level).toHaveAttribute('aria-valuetext', '−40 dBFS');
  const low = await live.capture(1);
  expect(peak(low.samples)).toBeCloseTo(0.01, 4);
  const loud = await live.capture(1, '-6');
  // −6 dBFS is 0.50119 of full scale.
  expect(peak(loud.samples)).toBeCloseTo(0.50119, 3);
  await expect(live.level).toHaveValue('-40');
});

function peak(samples: Float32Array): number {
  return samples.reduce((highest, sample) => Math.max(highest, Math.abs(sample)), 0);
}

test('a change of level is no jump', async ({ live, page }) => {
  await live.openLive();
  await live.start();
  await page.waitForTimeout(300);
  await live.level.fill('0');
  await page.waitForTimeout(500);
  const { samples } = await live.recorded();
  await live.stopButton.click();
  expect(peak(samples)).toBeGreaterThan(0.9);
  // The level of every five milliseconds: there is at least one edge in each.
  const levels = Array.from({ length: Math.floor(samples.length / 240) }, (_, at) =>
    peak(samples.slice(at * 240, at * 240 + 240)),
  ).filter((level) => level > 0.005);
  const steps = levels.slice(1).map((level, at) => level - levels[at]!);
  expect(Math.max(...steps)).toBeLessThan(0.4);
});

test('a flash is white with the codeword that is noted, and without code it beeps', async ({
  live,
  page,
}) => {
  test.setTimeout(150_000);
  await live.openLive();
  await live.choose({ 'What is heard': 'only a beep with each flash' });
  await live.whites();
  await expect(async () => {
    await live.start();
    await live.section.getByRole('button', { name: 'Flash and beep' }).click();
    await expect(live.flashes.last()).toContainText('shown', { timeout: 3000 });
    await expect(live.flashes.last()).not.toContainText('not shown', { timeout: 100 });
    await page.waitForTimeout(500);
    expect(await live.stopButton.isVisible()).toBe(true);
  }).toPass({ timeout: 100_000 });
  const noted = (await live.flashes.last().locator('.flash-address').innerText()).trim();
  expect((await live.whites()).at(-1)).toBe(noted);

  const capture = await live.recorded();
  await live.stopButton.click();
  const begins = capture.told.find(({ address }) => address === noted)!.sample - capture.first;
  const heard = capture.samples.findLastIndex((sample) => sample !== 0);
  const frame = capture.hertz / 25;
  const first = capture.samples.findIndex((sample, at) => sample !== 0 && at > begins - frame);
  expect(Math.abs(first - begins)).toBeLessThan(3);
  expect(Math.abs(heard - begins - frame)).toBeLessThan(6);
  // 1 kHz: forty cycles in a frame.
  const beep = capture.samples.subarray(first - 1, heard);
  const risings = beep.filter((sample, at) => at > 0 && sample > 0 && beep[at - 1]! <= 0).length;
  expect(risings).toBe(40);
});

test('flashes are a second apart, however fast the button is pressed', async ({ live }) => {
  await live.openLive();
  await live.start();
  const button = live.section.getByRole('button', { name: 'Flash', exact: true });
  // All in one turn of the page: presses that travel to it one by one can take over a second.
  const pressFiveTimes = () =>
    button.evaluate((element: HTMLElement) => {
      for (let press = 0; press < 5; press += 1) element.click();
    });
  await pressFiveTimes();
  await expect(live.flashes).toHaveCount(1);
  await live.page.waitForTimeout(1100);
  await pressFiveTimes();
  await expect(live.flashes).toHaveCount(2);
  await live.page.waitForTimeout(200);
  expect(await live.flashes.count()).toBe(2);
  await live.page.keyboard.press('Escape');
});

test('everything is done from the keyboard, and Escape stops wherever one is', async ({
  live,
  page,
}) => {
  await live.openLive();
  await live.section.getByLabel('Starts with', { exact: true }).focus();
  await page.keyboard.press('Tab');
  await expect(live.section.getByLabel('What is heard', { exact: true })).toBeFocused();
  await page.keyboard.press('Tab');
  await expect(live.level).toBeFocused();
  await page.keyboard.press('ArrowRight');
  await expect(live.level).toHaveAttribute('aria-valuetext', '−39 dBFS');
  await page.keyboard.press('Tab');
  await expect(live.startButton).toBeFocused();
  await expect(async () => {
    if (await live.startButton.isVisible()) await page.keyboard.press('Enter');
    await expect(live.stopButton).toBeFocused({ timeout: 3000 });
    await expect(live.digits).toHaveText(/^\d/, { timeout: 3000 });
  }).toPass();
  await expect(live.status).toHaveText('Code is playing');
  await expect(live.digits).toHaveRole('timer');

  await page.getByRole('link', { name: 'Read' }).click();
  const bar = page.getByRole('complementary', { name: 'Out of this device, now' });
  await expect(bar).toContainText(/\d\d:\d\d:\d\d:\d\d/);
  await expect(bar.getByRole('button', { name: 'Stop' })).toBeInViewport();
  await page.keyboard.press('Escape');
  await expect(bar).toBeHidden();
});

test('the slate fills the screen; Stop, Flash and the way out are on it', async ({
  live,
  page,
}) => {
  await live.openLive();
  await live.start();
  await live.section.getByRole('button', { name: 'Full screen' }).click();
  const slate = page.getByRole('dialog', { name: 'Slate' });
  await expect(slate.getByRole('button', { name: 'Stop' })).toBeFocused();
  await expect(slate.locator('.digits')).toHaveText(/^\d/);
  expect(await page.evaluate(() => document.fullscreenElement?.className)).toBe('slate');
  await slate.getByRole('button', { name: 'Flash' }).click();
  await expect(slate.locator('.flash-address')).toHaveText(/^\d/);
  await slate.getByRole('button', { name: 'Leave full screen' }).click();
  await expect(slate).toBeHidden();
  await expect(live.section.getByRole('button', { name: 'Full screen' })).toBeFocused();
  await live.section.getByRole('button', { name: 'Full screen' }).click();
  await slate.getByRole('button', { name: 'Stop' }).click();
  await expect(slate).toBeHidden();
  await expect(live.startButton).toBeVisible();
});

test('settings that are not right are told, and nothing plays', async ({ live, page }) => {
  await live.openLive();
  await live.set({ 'First time address': '10:00:00:25' });
  await live.startButton.click();
  await expect(live.ended).toContainText('Frames 25 do not exist');
  await live.choose({ 'Starts with': 'this device’s time of day' });
  await live.start();
  await page.keyboard.press('Escape');
});
