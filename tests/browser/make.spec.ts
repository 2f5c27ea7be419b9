import type { Page } from '@playwright/test';
import { MakePlace, samplesOf, type Saving, test, type Typed } from './make-place';
import { type Report, reportOf } from './recordings';
import { expect } from './site';

const SHORT: Typed = { Length: '00:00:02:00' };

/** The only code of a file that was made. */
function codeIn(path: string) {
  const report = reportOf(path, '--frames');
  expect(report.error).toBeUndefined();
  const [code, ...others] = report.codes;
  expect(others).toEqual([]);
  return { report, code: code! };
}

/** Each frame's time address, one after the other, by a file's own report. */
function addresses(code: Report['codes'][number]): string[] {
  return code.frames!.map(({ timecode }) => timecode);
}

const WAYS: Saving[] = ['to the disk', 'from the page', 'in pieces'];

test.describe('a file', () => {
  // A worker that the service worker has kept can't be given a browser with less.
  test.use({ serviceWorkers: 'block' });

  for (const saving of WAYS) {
    test(`${saving}: its code is what the sheet says`, async ({ make, page }) => {
      await make.open(saving);
      await make.set({
        'Frame rate': '29.97',
        Counting: 'drop-frame',
        'First time address': '09:00:59;00',
        Length: '00:00:03;00',
      });
      await expect(page.locator('.addresses dd').first()).toHaveText('09:00:59;00');
      const { code, report } = codeIn(await make.make());
      expect(code).toMatchObject({ rate: '29.97', drop_frame: true, start: '09:00:59;00' });
      // The minute begins at ;02 (IEC 60461 clause 4.2.3).
      const all = addresses(code);
      expect(all).toHaveLength(90);
      expect(all.slice(29, 31)).toEqual(['09:00:59;29', '09:01:00;02']);
      await expect(page.locator('.addresses dd').last()).toHaveText(all.at(-1)!);
      const [bext, ixml] = report.embedded;
      expect([bext?.source, ixml?.source]).toEqual(['bext', 'ixml']);
      expect(bext?.start).toBe('09:00:59;00');
      expect(ixml?.samples_since_midnight).toBe(bext?.samples_since_midnight);
      expect(await make.kept()).toBe(saving === 'from the page' ? 1 : 0);
    });
  }
});

test('the browser’s store keeps the last file of each page, and none of a page that is gone', async ({
  make,
  page,
  context,
}) => {
  await make.open('from the page');
  await make.set(SHORT);
  await make.make();
  await make.make();
  expect(await make.kept()).toBe(1);
  const second = new MakePlace(await context.newPage(), make.plumbline);
  await second.open('from the page');
  await second.set({ Length: '00:00:03:00' });
  await second.make();
  expect(await make.kept()).toBe(2);
  await second.page.close();
  second.end();
  await make.make();
  expect(await make.kept()).toBe(1);
  await page.reload();
  await make.make();
  expect(await make.kept()).toBe(1);
});

/** Rates beside the ones above: what is typed, and the code that carries it. */
const RATES: [rate: string, start: string, code: string, first: string][] = [
  ['23.976', '01:00:00:23', '23.976', '01:00:00:23'],
  ['24', '01:00:00:00', '24', '01:00:00:00'],
  ['25', '01:00:00:00', '25', '01:00:00:00'],
  ['29.97', '01:00:00:00', '29.97', '01:00:00:00'],
  ['30', '01:00:00:29', '30', '01:00:00:29'],
  ['47.952', '01:00:00:46', '23.976', '01:00:00:23'],
  ['48', '01:00:00:00', '24', '01:00:00:00'],
  // SMPTE ST 12-1: the address counts pairs of frames.
  ['50', '10:00:00:48', '25', '10:00:00:24'],
  ['59.94', '01:00:00:00', '29.97', '01:00:00:00'],
  ['60', '01:00:00:58', '30', '01:00:00:29'],
  ['100', '01:00:00:96', '25', '01:00:00:24'],
  ['119.88', '01:00:00:00', '29.97', '01:00:00:00'],
  ['120', '01:00:00:116', '30', '01:00:00:29'],
];

test('every rate reaches the file, the high ones as their LTC base', async ({ make }) => {
  test.setTimeout(180_000);
  await make.open('from the page');
  for (const [rate, start, base, first] of RATES) {
    // A length that ends with a codeword at every rate, and is long enough to tell 1000/1001.
    await make.set({ 'Frame rate': rate, 'First time address': start, Length: '00:00:04:00' });
    const { code } = codeIn(await make.make());
    expect(code, rate).toMatchObject({ rate: base, start: first, frames_lost: 0 });
    if (rate !== base) await expect(make.note('Frame rate'), rate).toContainText(base);
  }
});

test('a last address ends the code', async ({ make, page }) => {
  await make.open('from the page');
  await make.set({ Ends: 'with a last address', 'Last time address': '10:00:01:12' });
  await expect(page.getByLabel('Length', { exact: true })).toBeHidden();
  const { code } = codeIn(await make.make());
  expect(addresses(code).at(-1)).toBe('10:00:01:12');
  expect(code.frames_read).toBe(38);
});

/** What is typed, and the eight digits, group 8 first. */
const USER_BITS: [typed: Typed, digits: string][] = [
  [{ 'User bits': 'digits', 'Eight digits, group 8 first': 'DEC0DE12' }, 'DEC0DE12'],
  [
    {
      'User bits': 'date: day, month, year',
      'Date, year first': '2026-11-25',
      'Two digits after the date': '01',
    },
    '25112601',
  ],
  [
    {
      'User bits': 'date: month, day, year',
      'Date, year first': '2026-11-25',
      'Two digits after the date': '02',
    },
    '11252602',
  ],
  [
    {
      'User bits': 'date: year, month, day',
      'Date, year first': '2026-11-25',
      'Two digits after the date': 'A3',
    },
    '261125A3',
  ],
  // SMPTE ST 12-1 clause 8.4.2: the first character in groups 7 and 8.
  [{ 'User bits': 'characters', 'Four characters': 'SYNC' }, '53594E43'],
  // SMPTE ST 309, as coded by a metadata library that reads cameras’ stamps.
  [
    {
      'User bits': 'date and time zone',
      'Date, year first': '2024-12-22',
      'Offset from UTC': '+08:00',
    },
    '18241222',
  ],
];

test('user bits of every kind reach the file', async ({ make }) => {
  await make.open('from the page');
  await make.set(SHORT);
  for (const [typed, digits] of USER_BITS) {
    await make.set(typed);
    const { code } = codeIn(await make.make());
    expect(code.stretches[0]?.user_bits, typed['User bits']).toBe(digits);
  }
});

test('the flags reach the file', async ({ make, plumbline, page }) => {
  await make.open('from the page');
  await make.set({
    ...SHORT,
    'Colour-frame flag': 'set',
    'Address is clock time': 'yes',
    'User bits': 'characters',
    'Four characters': 'SYNC',
  });
  await expect(make.problem('Address is clock time')).not.toBeEmpty();
  await make.set({ 'User bits': 'digits' });
  const path = await make.make();
  await page.getByRole('link', { name: 'Read' }).click();
  await plumbline.drop(path);
  await plumbline.isRead();
  await plumbline.button('Show the first codeword').click();
  // SMPTE ST 12-1 tables 1 and 3: at 25, bit 11 and, for clock time alone, bit 58 of the three.
  const bit = (first: number) =>
    page.locator('.fields > div').filter({
      has: page.locator('.field-bits', { hasText: new RegExp(`^${first}$`) }),
    });
  for (const [first, value] of Object.entries({ 11: '1', 27: '0', 43: '0', 58: '1' })) {
    await expect(bit(Number(first)).locator('.field-value'), first).toHaveText(value);
  }
});

test('takes, the silence between them and the jump reach the file', async ({ make }) => {
  await make.open('from the page');
  await make.set({
    ...SHORT,
    Takes: '3',
    'Silence between takes, s': '1.5',
    'Jump between takes': '00:00:10:00',
  });
  const { code } = codeIn(await make.make());
  expect(code.stretches).toMatchObject([
    { first: '10:00:00:00', last: '10:00:01:24' },
    { first: '10:00:12:00', last: '10:00:13:24' },
    { first: '10:00:24:00', last: '10:00:25:24' },
  ]);
  const [first, second] = code.stretches;
  expect(second!.first_sample - first!.first_sample).toBeCloseTo(3.5 * 48_000, -1);
});

/** The sample formats, and what the file says of them. */
const FORMATS: [rate: string, samples: string, hertz: number, bits: number][] = [
  ['44.1 kHz', '16 bit', 44_100, 16],
  ['48 kHz', '24 bit', 48_000, 24],
  ['88.2 kHz', '32-bit float', 88_200, 32],
  ['96 kHz', '24 bit', 96_000, 24],
  ['176.4 kHz', '16 bit', 176_400, 16],
  ['192 kHz', '32-bit float', 192_000, 32],
];

test('sample rate, sample format and level reach the file', async ({ make }) => {
  await make.open('from the page');
  await make.set(SHORT);
  for (const [index, [rate, samples, hertz, bits]] of FORMATS.entries()) {
    const level = -6 - 5 * index;
    await make.set({
      'Sample rate': rate,
      'Sample format': samples,
      'Peak level, dBFS': `${level}`,
    });
    const { code, report } = codeIn(await make.make());
    expect(report, rate).toMatchObject({ sample_rate: hertz, bits, channels: 1 });
    expect(code.level_dbfs, rate).toBeCloseTo(level, 0);
  }
});

test('polarity and rise time reach the file', async ({ make }) => {
  await make.open('from the page');
  await make.set({ Length: '00:00:00:10', 'Sample rate': '192 kHz' });
  const made = async (typed: Typed) => {
    await make.set(typed);
    return samplesOf(await make.make())[0]!;
  };
  const upright = await made({ Polarity: 'upright' });
  const inverted = await made({ Polarity: 'inverted' });
  expect(Math.max(...upright)).toBeGreaterThan(0.12);
  expect(inverted.map((sample) => (sample === 0 ? 0 : -sample))).toEqual(upright);
  const slow = await made({ Polarity: 'upright', 'Rise time, µs': '100' });
  expect(steepest(upright) / steepest(slow)).toBeGreaterThan(2);
});

function steepest(samples: readonly number[]): number {
  return samples.reduce(
    (most, sample, index) => Math.max(most, Math.abs(sample - (samples[index - 1] ?? sample))),
    0,
  );
}

test('what stands beside the code reaches the file', async ({ make }) => {
  await make.open('from the page');
  const beside = async (choice: string) => {
    await make.set({ ...SHORT, 'Second channel': choice });
    const channels = samplesOf(await make.make());
    expect(channels).toHaveLength(2);
    return channels[1]!;
  };
  expect((await beside('silence')).every((sample) => sample === 0)).toBe(true);

  const lineUp = await beside('1 kHz line-up tone');
  const rises = lineUp.filter((sample, index) => sample >= 0 && (lineUp[index - 1] ?? 0) < 0);
  expect(Math.abs(rises.length - 2000)).toBeLessThanOrEqual(1);

  // A frame at 25 is 1,920 samples of 48 kHz long.
  const heard = (await beside('a blip each second')).map((sample) => sample !== 0);
  expect(heard.slice(0, 1920).filter(Boolean).length).toBeGreaterThan(1000);
  expect(heard.slice(1920, 48_000)).not.toContain(true);
  expect(heard.slice(48_000, 49_920).filter(Boolean).length).toBeGreaterThan(1000);
});

/** What is typed, at which field that is told, and what would be right. */
const WRONG: [typed: Typed, label: string, told: RegExp, right: RegExp][] = [
  [{ Counting: 'drop-frame' }, 'Counting', /at 25/, /29\.97/],
  [
    { 'Frame rate': '29.97', Counting: 'drop-frame', 'First time address': '00:01:00;00' },
    'First time address',
    /00:01:00;00/,
    /00:01:00;02/,
  ],
  [{ 'First time address': '10:00:00:25' }, 'First time address', /25/, /23:59:59:24/],
  [
    { 'Frame rate': '50', 'First time address': '10:00:00:01' },
    'First time address',
    /inside a codeword/,
    /10:00:00:00 or 10:00:00:02/,
  ],
  [{ Length: '200 h' }, 'Length', /200 h.*longer than 24 h/, /24:00:00:00/],
  [{ Length: '200:00:00:00' }, 'Length', /200.*longer than 24 h/, /24:00:00:00/],
  [{ 'Peak level, dBFS': '3' }, 'Peak level, dBFS', /3/, /0/],
  [{ 'Eight digits, group 8 first': 'slate' }, 'Eight digits, group 8 first', /s/, /./],
];

for (const [typed, label, told, right] of WRONG) {
  test(`${JSON.stringify(typed)} is told at “${label}”`, async ({ make, page }) => {
    await make.open('from the page');
    await make.set(typed);
    const problem = make.problem(label);
    await expect(problem).toContainText('Not right:');
    await expect(problem).toContainText(told);
    await expect(problem).toContainText(right);
    const field = make.field(label);
    await expect(field).toHaveAttribute('aria-invalid', 'true');
    const about = (await field.getAttribute('aria-describedby'))!.split(' ');
    expect(about).toContain(await problem.getAttribute('id'));
    await expect(page.locator('.problem')).toHaveCount(1);
    await expect(page.getByRole('heading', { level: 1 })).toContainText('not right');

    await expect(make.main).toHaveText('Go to what is not right');
    await make.main.click();
    await expect(field).toBeFocused();
  });
}

test('a field that does not apply is not shown', async ({ make }) => {
  await make.open('from the page');
  await make.unfold();
  const seldom = ['Last time address', 'Offset from UTC', 'Four characters', 'Jump between takes'];
  for (const label of seldom) await expect(make.field(label)).toHaveCount(0);
  await make.set({ Ends: 'with a last address', 'User bits': 'date and time zone', Takes: '2' });
  for (const label of ['Last time address', 'Offset from UTC', 'Jump between takes']) {
    await expect(make.field(label)).toBeVisible();
  }
  await expect(make.field('Length')).toHaveCount(0);
});

test('the answer is that to the last key, however quickly they follow', async ({ make, page }) => {
  await make.open('from the page');
  for (const hours of Array.from({ length: 20 }, (_, hour) => `${hour}`.padStart(2, '0'))) {
    await make.field('First time address').fill(`${hours}:00:00:00`);
  }
  await expect(page.locator('.addresses dd').first()).toHaveText('19:00:00:00');
});

test.describe('this device’s time of day', () => {
  test.use({ timezoneId: 'Asia/Kolkata' });

  test('fills in the first address, and the zone is said', async ({ make, page }) => {
    await page.clock.setFixedTime('2026-11-25T10:11:12.520Z');
    await make.open('from the page');
    await page.getByRole('button', { name: /^Now/ }).click();
    await expect(make.field('First time address')).toHaveValue('15:41:12:13');
    await expect(make.note('First time address')).toContainText('UTC+05:30');
    await make.set({ 'User bits': 'date and time zone' });
    await expect(make.field('Date, year first')).toHaveValue('2026-11-25');
    await expect(make.field('Offset from UTC')).toHaveValue('+05:30');
    await make.set({ 'First time address': '10:00:00:00' });
    await expect(make.note('First time address')).toHaveCount(0);
  });
});

test.describe('the link', () => {
  test('holds the settings and opens them again', async ({ make, page, context }) => {
    await context.grantPermissions(['clipboard-read', 'clipboard-write']);
    await make.open('from the page');
    const typed: Typed = {
      'Frame rate': '29.97',
      Counting: 'drop-frame',
      'First time address': '01:02:03;04',
      'User bits': 'characters',
      'Four characters': 'a&=#',
      'Peak level, dBFS': '-12',
      'Rise time, µs': '50',
      Takes: '2',
    };
    await make.set(typed);
    await page.getByRole('button', { name: 'Copy the link' }).click();
    await expect(page.getByText('The link is copied.')).toBeVisible();
    const link = await page.evaluate(() => navigator.clipboard.readText());
    expect(link).toContain('start=01:02:03;04');
    expect(link).not.toContain('sample_rate');
    await expect(page).toHaveURL(link);

    await make.go(new URL(link).hash);
    await expect(make.field('Rise time, µs')).toBeVisible();
    for (const [label, value] of Object.entries(typed)) {
      const shown = await make
        .field(label)
        .evaluate((element) =>
          element instanceof HTMLSelectElement
            ? element.selectedOptions[0]!.text
            : (element as HTMLInputElement).value,
        );
      expect(shown, label).toBe(value);
    }
    await page.getByRole('button', { name: 'Clear all settings' }).click();
    await expect(make.field('Frame rate')).toHaveValue('25');
    await expect(page).toHaveURL(/#make\?$/);
  });

  test('tells the date and the zone even where this device would have them so by itself', async ({
    make,
    page,
    browser,
  }) => {
    await make.open('from the page');
    await make.set({ 'User bits': 'date and time zone', 'Offset from UTC': '+00:00' });
    await expect(page).toHaveURL(/zone=%2B00:00/);
    const elsewhere = await browser.newPage({ timezoneId: 'Asia/Kolkata' });
    const other = new MakePlace(elsewhere, make.plumbline);
    await other.open('from the page', new URL(page.url()).hash);
    await expect(other.field('Offset from UTC')).toHaveValue('+00:00');
    await elsewhere.close();
    other.end();
  });

  test('stays in the address when the place is pressed again', async ({ make, page }) => {
    await make.open('from the page', '#make?rate=24');
    await page.getByRole('link', { name: 'Make' }).click();
    await expect(page).toHaveURL(/#make\?rate=24$/);
    await expect(make.field('Frame rate')).toHaveValue('24');
  });

  test('that is opened while the page is open is taken in', async ({ make, page }) => {
    await make.open('from the page');
    await page.evaluate(() => location.assign('#make?rate=24&length=00:01:00:00'));
    await expect(make.field('Frame rate')).toHaveValue('24');
    await expect(make.field('Length')).toHaveValue('00:01:00:00');
    await page.evaluate(() => location.assign('#make?rate=30'));
    await expect(make.field('Length')).toHaveValue('00:10:00:00');
  });

  test('with rubbish in it shows problems at the fields and breaks nothing', async ({ make }) => {
    const rubbish = '%F0%9F&&=&colour=red&rate=26&counting=%00&start=<b>x</b>&level=1e9&until';
    await make.open('from the page', `#make?${rubbish}`);
    await expect(make.field('Frame rate')).toHaveValue('26');
    const told = (label: string) => expect(make.problem(label), label).toContainText('Not right:');
    for (const label of ['Frame rate', 'Counting', 'Peak level, dBFS']) await told(label);
    // What an address may be is known once the rate and the count are.
    await make.set({ 'Frame rate': '25', Counting: 'non-drop', 'Peak level, dBFS': '-18' });
    for (const label of ['First time address', 'Ends']) await told(label);
    await make.set({ Ends: 'after a length', 'First time address': '10:00:00:00' });
    await expect(make.main).toHaveText('Make the file');
  });
});

test.describe('stopping', () => {
  test('while the file is written leaves nothing of it', async ({ make, page }) => {
    await make.open('to the disk');
    await make.set({ Length: '24:00:00:00', 'Sample rate': '192 kHz' });
    await make.main.click();
    await expect(make.job.locator('.figure')).not.toHaveText('0 %');
    await expect(make.job).toContainText(/about .* left/);
    await page.getByRole('button', { name: 'Stop' }).click();
    await expect(make.job).toContainText(/Stopped\. Nothing of .*\.wav was kept\./);
    expect(await make.filesOfOrigin()).toEqual([]);
    await make.set({ ...SHORT, 'Sample rate': '48 kHz' });
    codeIn(await make.make());
  });

  test('while it is read back leaves the file, and says that it is not proved', async ({
    make,
    page,
  }) => {
    await make.open('from the page');
    test.setTimeout(120_000);
    await make.set({ Length: '01:00:00:00' });
    // Reading back takes a second or two: Stop is pressed by the page, as soon as it has begun.
    await page.evaluate(() => {
      new MutationObserver((_, observer) => {
        if (document.querySelector('progress[aria-label*=" back"]') === null) return;
        const stop = [...document.querySelectorAll('button')].find(
          ({ textContent }) => textContent === 'Stop',
        );
        stop?.click();
        observer.disconnect();
      }).observe(document.body, { subtree: true, childList: true, attributes: true });
    });
    await make.main.click();
    await expect(make.job).toContainText('was not read back to its end');
    await expect(page.getByRole('link', { name: 'Save it' })).toBeVisible();
  });
});

test('a save dialogue that is called off changes nothing', async ({ make }) => {
  await make.open('not after all');
  await make.main.click();
  await expect(make.job).toBeEmpty();
  await expect(make.main).toHaveText('Save a file');
});

test('a disk without room is told in words, and nothing is left on it', async ({
  make,
  page,
  context,
}) => {
  await make.open('to the disk');
  const session = await context.newCDPSession(page);
  const origin = new URL(page.url()).origin;
  await session.send('Storage.overrideQuotaForOrigin', { origin, quotaSize: 20_000_000 });
  await make.set({ Length: '01:00:00:00' });
  await make.main.click();
  // Chromium says which of the two it is, or only that the way ended, as it comes.
  await expect(make.job).toContainText(/There is no room for it|The disk may be full/);
  await expect(make.job.locator('.remedy')).not.toBeEmpty();
  expect(await make.filesOfOrigin()).toEqual([]);
});

test('the form and a file in the making are kept while Read is shown', async ({ make, page }) => {
  test.setTimeout(120_000);
  await make.open('from the page');
  await make.set({ 'First time address': '07:00:00:00', Length: '00:30:00:00' });
  await make.main.click();
  await expect(make.job.getByRole('progressbar')).toBeVisible();
  await page.getByRole('link', { name: 'Read' }).click();
  await expect(page.getByRole('button', { name: 'Choose recordings' })).toBeVisible();
  await page.getByRole('link', { name: 'Make' }).click();
  await expect(make.field('First time address')).toHaveValue('07:00:00:00');
  await expect(page).toHaveURL(/start=07:00:00:00/);
  await expect(make.job).toContainText('45,000 codewords read back, all as asked', {
    timeout: 90_000,
  });
});

test.describe('when the maker breaks', () => {
  test.use({ serviceWorkers: 'block' });

  test('that is said, and it works again when it can', async ({ page, site }) => {
    let breaking = true;
    await page.route('**/*.wasm', (route) => (breaking ? route.abort() : route.continue()));
    await page.goto(`${site.address}#make`);
    await expect(page.locator('.trouble')).toContainText('That is a fault of Plumbline');
    breaking = false;
    await page.getByRole('button', { name: 'Try again' }).click();
    await expect(page.getByLabel('Frame rate')).toBeVisible();
  });
});

test('everything is done from the keyboard', async ({ make, page }) => {
  await make.open('from the page');
  await tabTo(page, 'Frame rate');
  await page.keyboard.press('ArrowUp');
  await expect(make.field('Frame rate')).toHaveValue('24');
  await tabTo(page, 'First time address');
  await page.keyboard.press('ControlOrMeta+A');
  await page.keyboard.type('11:00:00:00');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  await expect(make.note('First time address')).toContainText('time of day');
  await tabTo(page, 'Length');
  await page.keyboard.press('ControlOrMeta+A');
  await page.keyboard.type('2 s');
  await tabTo(page, 'More: edges and polarity');
  await page.keyboard.press('Enter');
  await expect(make.field('Polarity')).toBeVisible();
  await tabTo(page, 'Make the file');
  await page.keyboard.press('Enter');
  await expect(make.job).toContainText('48 codewords read back, all as asked');
  await tabTo(page, 'Save it', 'Shift+Tab');
  const downloaded = page.waitForEvent('download');
  await page.keyboard.press('Enter');
  expect((await downloaded).suggestedFilename()).toMatch(/\.wav$/);
});

/** Presses a key until what is named so has the focus. */
async function tabTo(page: Page, name: string, key = 'Tab'): Promise<void> {
  for (let presses = 0; presses < 40; presses += 1) {
    await page.keyboard.press(key);
    const focused = await page.evaluate(() => {
      const element = document.activeElement as HTMLInputElement | null;
      return element?.labels?.[0]?.textContent ?? element?.textContent ?? '';
    });
    if (focused === name) return;
  }
  throw new Error(`no way to “${name}” with ${key}`);
}

test('what can be done with the settings is one press away', async ({ make, page }) => {
  await page.setViewportSize({ width: 390, height: 800 });
  await make.open('from the page');
  for (const name of ['To a file', 'Out of this device, now']) {
    const title = page.getByRole('heading', { name, exact: true });
    await expect(title).not.toBeInViewport();
    await page.getByRole('button', { name, exact: true }).click();
    await expect(title).toBeFocused();
    await expect(title).toBeInViewport();
    await page.evaluate(() => scrollTo(0, 0));
  }
});

test('what is heard: what is wrong, else what will be made, and how the file gets on', async ({
  make,
  page,
}) => {
  await make.open('from the page');
  const heard = page.locator('.paper > [role=status]');
  await make.set({ 'Peak level, dBFS': '5' });
  await expect(heard.first()).toContainText('Not right:');
  await make.set({ ...SHORT, 'Peak level, dBFS': '-18' });
  const verdict = await page.getByRole('heading', { level: 1 }).innerText();
  await expect(heard.first()).toHaveText(verdict);
  await make.make();
  await expect(heard.last()).toContainText('read back');
});
