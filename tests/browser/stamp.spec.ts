import { readFileSync } from 'node:fs';
import { samplesOf, WAYS } from './make-place';
import { recordings, reportOf } from './recordings';
import { expect, type Plumbline, test } from './site';

const report = () => reportOf(recordings.demo);

/** Reads the demo recording on a page that hands its files over, and begins a copy of it. */
async function stamp(plumbline: Plumbline, channels = 'all'): Promise<void> {
  await plumbline.page.evaluate(WAYS['from the page']);
  await plumbline.drop(recordings.demo);
  await plumbline.isRead();
  await plumbline.page.getByLabel('Channels in the copy').selectOption({ label: channels });
  await plumbline.button('Stamped copy').click();
}

/** Where the copy is, once it was read back and somebody has saved it. */
async function saved({ page }: Plumbline, channels: string): Promise<string> {
  const [code] = report().codes;
  const proof = `Stamped ${code!.start}, ${channels}, read back and the same.`;
  await expect(page.locator('.outcome')).toHaveText(proof);
  const downloaded = page.waitForEvent('download');
  await page.getByRole('link', { name: 'Save it' }).click();
  const download = await downloaded;
  expect(download.suggestedFilename()).toBe('demo-stamped.wav');
  return download.path();
}

/** The copy states the code's start, to the nearest sample, in both places. */
function expectStart(path: string): void {
  const { start, start_samples_since_midnight: samples } = report().codes[0]!;
  const stamped = { start, samples_since_midnight: Math.round(samples!) };
  expect(reportOf(path).embedded).toEqual([
    { source: 'bext', ...stamped },
    { source: 'ixml', ...stamped },
  ]);
}

test('a stamped copy has the code’s start in it and the same sound', async ({ plumbline }) => {
  const before = readFileSync(recordings.demo);
  await stamp(plumbline);
  const path = await saved(plumbline, '2 channels');
  expectStart(path);
  expect(samplesOf(path)).toEqual(samplesOf(recordings.demo));
  expect(reportOf(path).codes[0]?.start).toBe(report().codes[0]?.start);
  expect(readFileSync(recordings.demo).equals(before)).toBe(true);
});

test('the code can be left out of it', async ({ plumbline }) => {
  await stamp(plumbline, 'all but the code');
  const path = await saved(plumbline, '1 channel');
  expectStart(path);
  const [code] = report().codes;
  const kept = samplesOf(recordings.demo).filter((_, channel) => channel !== code!.channel);
  expect(samplesOf(path)).toEqual(kept);
  expect(reportOf(path).codes).toEqual([]);
});

test('saved straight to the disk; nothing comes of it where somebody thinks better of it', async ({
  plumbline,
  page,
}) => {
  await page.evaluate(WAYS['not after all']);
  await plumbline.drop(recordings.demo);
  await plumbline.isRead();
  await plumbline.button('Stamped copy').click();
  await page.evaluate(WAYS['to the disk']);
  await expect(page.locator('.stamp .job')).toBeEmpty();
  await plumbline.button('Stamped copy').click();
  await expect(page.locator('.outcome')).toContainText('read back and the same');
  await expect(page.getByRole('link', { name: 'Save it' })).toHaveCount(0);
  // A second one takes a name that is free: nothing is replaced.
  await plumbline.button('Stamped copy, anew').click();
  await expect(page.locator('.outcome')).toContainText('read back and the same');
  const names = await page.evaluate(async () => {
    const folder = await navigator.storage.getDirectory();
    const names: string[] = [];
    for await (const name of folder.keys()) names.push(name);
    return names;
  });
  expect(names.filter((name) => name.endsWith('.wav')).toSorted()).toEqual([
    'demo-stamped 2.wav',
    'demo-stamped.wav',
  ]);
});

test('a copy can be stopped, and nothing of it is kept', async ({ plumbline, page }) => {
  await page.evaluate(WAYS['from the page']);
  // Long, and mostly silent: there is time to stop it.
  await plumbline.drop(recordings.longTake);
  await expect(plumbline.addresses.first()).toBeVisible();
  await plumbline.button('Stop').click();
  await plumbline.button('Stamped copy').click();
  await page.locator('.stamp').getByRole('button', { name: 'Stop', exact: true }).click();
  await expect(page.locator('.stamp .job h3')).toContainText('Stopped.');
  await expect(page.getByRole('link', { name: 'Save it' })).toHaveCount(0);
});

test('what is no WAV can’t be stamped, and what to do is said', async ({ plumbline, page }) => {
  await plumbline.drop(recordings.camera);
  await plumbline.isRead();
  await expect(page.locator('.stamp')).toContainText('Only a WAV has a place for the start');
  await expect(plumbline.button('Stamped copy')).toHaveCount(0);
});
