import { join } from 'node:path';
import { look, SCREENS } from './looks';
import { MakePlace } from './make-place';
import { nameOf, recordings } from './recordings';
import { expect, Plumbline, test } from './site';

/** A tone with all that seldom needs to be set, and one with much that is not right. */
const EVERYTHING =
  '#make?rate=59.94&counting=drop&start=23:59:59;58&until=last&last=00:10:00;00&takes=3' +
  '&user_bits_are=date-and-zone&date=2026-11-25&zone=%2B01:00&sample_rate=96000&samples=float' +
  '&beside=line-up&rise_time=25';
/** The parts of Work out, with something in their fields. */
const SUMS = [
  ['address', '&text=01:00:00;00&rate=29.97&counting=drop'],
  [
    'worksheet',
    '&text=crossing = 12 min 20 s%0Afrom 10:00:00:00 to 10:12:20:05 - crossing%0A1 %2B',
  ],
  ['rows', '&text=Ferry, 10:00:00:00, 10:00:10:00%0ADeck, 10:00:12:00, 10:00:11:00'],
  ['clocks', '&temperature=-5'],
  ['speeds', ''],
  ['user_bits', '&user_bits_are=date-and-zone&date=2026-11-25&zone=%2B01:00'],
] as const;
const WRONG = '#make?start=later&length=200+h&user_bits=slate&level=3&takes=0&rise_time=0';

for (const width of [390, 1440]) {
  for (const colorScheme of ['light', 'dark'] as const) {
    const looks = { width, colorScheme };
    const options = { viewport: { width, height: 900 }, colorScheme };

    test(`Read, ${width} px, ${colorScheme}: legible, within its width, nothing in the way`, async ({
      browser,
      site,
    }) => {
      const page = await browser.newPage(options);
      const plumbline = new Plumbline(page, site.address);
      await plumbline.open();
      await look(plumbline, 'empty', looks);
      await plumbline.demo();
      await look(plumbline, 'demo', looks);
      await plumbline.button('Show the first codeword').click();
      await expect(plumbline.codewordAddress).toBeVisible();
      await look(plumbline, 'bits', looks);
      await plumbline.drop(recordings.buried);
      await plumbline.openSheet(nameOf(recordings.buried));
      await plumbline.isRead();
      await look(plumbline, 'together', looks);
      await plumbline.drop(recordings.faint);
      await plumbline.openSheet(nameOf(recordings.faint));
      await plumbline.isRead();
      await look(plumbline, 'suspected', looks);
      await plumbline.drop(recordings.camera);
      await plumbline.openSheet(nameOf(recordings.camera));
      await plumbline.isRead();
      await look(plumbline, 'film', looks);
      await plumbline.drop(recordings.unfinished);
      await plumbline.openSheet(nameOf(recordings.unfinished));
      await expect(plumbline.verdict).toContainText('no index');
      await look(plumbline, 'unfinished', looks);
      await plumbline.drop(recordings.text, recordings.cutOff, recordings.script);
      await expect(plumbline.row(nameOf(recordings.script))).toContainText('code on');
      await look(plumbline, 'several', looks);
      await page.close();
    });

    test(`A shoot, ${width} px, ${colorScheme}: legible, within its width, nothing in the way`, async ({
      browser,
      site,
    }) => {
      const page = await browser.newPage(options);
      const plumbline = new Plumbline(page, site.address);
      await plumbline.open();
      await plumbline.button('Make a demo shoot').click();
      await expect(page.locator('.hand-over')).toBeVisible();
      await look(plumbline, 'shoot', looks);
      await page.locator('.rolling-hand').click({ position: { x: 120, y: 60 } });
      await plumbline.button('Closer').click();
      await page
        .getByRole('button', { name: /^Change mast/ })
        .first()
        .click();
      await page.getByLabel('Later by so many frames').fill('some');
      await page.keyboard.press('Enter');
      await look(plumbline, 'shoot-changed', looks);
      await page.close();
    });

    test(`Work out, ${width} px, ${colorScheme}: legible, within its width, nothing in the way`, async ({
      browser,
      site,
    }) => {
      const page = await browser.newPage(options);
      const plumbline = new Plumbline(page, site.address);
      for (const [part, fields] of SUMS) {
        await page.goto(`${site.address}#work-out?part=${part}${fields}`);
        await expect(page.locator('.sums').first()).toBeVisible();
        await look(plumbline, `work-out-${part}`, looks);
      }
      await page.close();
    });

    test(`Make, ${width} px, ${colorScheme}: legible, within its width, nothing in the way`, async ({
      browser,
      site,
    }) => {
      const page = await browser.newPage(options);
      const make = new MakePlace(page, new Plumbline(page, site.address));
      await make.open('from the page');
      await look(make.plumbline, 'make', looks);
      await make.open('from the page', EVERYTHING);
      await look(make.plumbline, 'make-everything', looks);
      await make.open('from the page', WRONG);
      await expect(page.locator('.problem')).toHaveCount(6);
      await look(make.plumbline, 'make-wrong', looks);
      await make.open('from the page', '#make?length=00:20:00:00');
      await make.main.click();
      await expect(make.job.getByRole('progressbar')).toBeVisible();
      await look(make.plumbline, 'make-writing', looks);
      await expect(make.job).toContainText('all as asked');
      await look(make.plumbline, 'make-made', looks);
      make.end();
      await page.close();
    });
  }
}

test('no width from a small phone to a wide screen scrolls sideways', async ({ plumbline }) => {
  await plumbline.demo();
  for (const width of [320, 360, 390, 600, 760, 900, 1100, 1280, 1920]) {
    await plumbline.page.setViewportSize({ width, height: 900 });
    await expect
      .poll(() => plumbline.overflow(), { message: `${width} px` })
      .toBeLessThanOrEqual(0);
    const svg = plumbline.page.locator('.drawing svg').first();
    await expect
      .poll(async () => (await svg.boundingBox())?.width ?? 0, {
        message: `${width} px`,
      })
      .toBeGreaterThan(Math.min(width, 1240) * 0.85);
  }
});

test('Make scrolls sideways at no width either', async ({ page, site }) => {
  const make = new MakePlace(page, new Plumbline(page, site.address));
  for (const tone of [EVERYTHING, '#make?rate=120&start=10:00:00:116']) {
    await make.open('from the page', tone);
    await make.unfold();
    for (const width of [320, 360, 390, 600, 760, 900, 1100, 1280, 1920]) {
      await page.setViewportSize({ width, height: 900 });
      await expect
        .poll(() => make.plumbline.overflow(), { message: `${tone}, ${width} px` })
        .toBeLessThanOrEqual(0);
    }
  }
  make.end();
});

test('the places are within the thumb’s reach on a phone, and in the way of nothing', async ({
  page,
  site,
}) => {
  await page.setViewportSize({ width: 390, height: 700 });
  const make = new MakePlace(page, new Plumbline(page, site.address));
  await make.open('from the page');
  const bar = (await page.getByRole('navigation').boundingBox())!;
  expect(bar.y + bar.height).toBe(700);
  await page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight));
  const foot = (await page.locator('.foot p').first().boundingBox())!;
  expect(foot.y + foot.height).toBeLessThan(bar.y);
  // What takes the focus is not hidden behind the bar.
  for (let presses = 0; presses < 30; presses += 1) {
    await page.keyboard.press('Tab');
    const focused = await page.evaluate(() => {
      const { top, bottom } = document.activeElement!.getBoundingClientRect();
      return document.activeElement!.closest('main') !== null ? { top, bottom } : undefined;
    });
    if (focused !== undefined) expect(focused.bottom).toBeLessThanOrEqual(bar.y);
  }
  make.end();
});

test('the sheet prints without buttons', async ({ plumbline }) => {
  await plumbline.demo();
  await plumbline.page.emulateMedia({ media: 'print' });
  await expect(plumbline.button('Print')).toBeHidden();
  await expect(plumbline.addresses.first()).toBeVisible();
  await plumbline.page.pdf({ path: join(SCREENS, 'sheet.pdf'), format: 'A4' });
});

test('a shoot fills the paper it is printed on, and nothing is cut off', async ({ plumbline }) => {
  const { page } = plumbline;
  await page.setViewportSize({ width: 390, height: 844 });
  await plumbline.button('Make a demo shoot').click();
  await expect(page.locator('.hand-over')).toBeVisible();
  const drawing = page.locator('.rolling svg');
  const onScreen = await drawing.evaluate(({ clientWidth }) => clientWidth);
  await page.evaluate(() => {
    const widths: number[] = [];
    Object.assign(window, { widths });
    addEventListener('beforeprint', () => {
      for (const svg of document.querySelectorAll('.drawing svg')) widths.push(svg.clientWidth);
    });
  });
  await page.pdf({ path: join(SCREENS, 'shoot.pdf'), format: 'A4' });
  const onPaper = await page.evaluate(() => (window as unknown as { widths: number[] }).widths);
  expect(onPaper.length).toBeGreaterThan(1);
  for (const width of onPaper) expect(width).toBeGreaterThan(600);
  await expect(drawing).toHaveJSProperty('clientWidth', onScreen);
});
