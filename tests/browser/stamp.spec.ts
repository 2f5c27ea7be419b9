import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { samplesOf, WAYS } from './make-place';
import { nameOf, recordings, reportOf, shoot } from './recordings';
import { expect, type Plumbline, test } from './site';

const report = () => reportOf(recordings.demo);

/** Reads a recording on a page that hands its files over, and begins a copy of it. */
async function stamp(
  plumbline: Plumbline,
  channels = 'all',
  recording: string = recordings.demo,
): Promise<void> {
  await plumbline.page.evaluate(WAYS['from the page']);
  await plumbline.drop(recording);
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

test('a channel into which the code only leaks stays in a copy without it', async ({
  plumbline,
}) => {
  await stamp(plumbline, 'all but the code', recordings.leaking);
  const [own, leaked] = reportOf(recordings.leaking).codes;
  expect([own!.channel, leaked!.channel]).toEqual([1, 0]);
  await expect(plumbline.page.locator('.outcome')).toContainText('1 channel, read back');
  const downloaded = plumbline.page.waitForEvent('download');
  await plumbline.page.getByRole('link', { name: 'Save it' }).click();
  const path = await (await downloaded).path();
  expect(samplesOf(path)).toEqual(samplesOf(recordings.leaking).slice(0, 1));
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
  const names = () =>
    page.evaluate(async () => {
      const folder = await navigator.storage.getDirectory();
      const names: string[] = [];
      for await (const name of folder.keys()) if (name.endsWith('.wav')) names.push(name);
      return names.toSorted();
    });
  // The account of the first copy stands until the second has begun: the second’s file tells.
  await expect.poll(names).toEqual(['demo-stamped 2.wav', 'demo-stamped.wav']);
  await expect(page.locator('.outcome')).toContainText('read back and the same');
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

test.describe('copies of many recordings', () => {
  const paths = shoot.recordings.map(([name]) => join(shoot.folder, name));
  const STAMPED = shoot.recordings.map(([name]) => nameOf(name).replace('.wav', '-stamped.wav'));

  test.beforeEach(async ({ plumbline, page }) => {
    await page.evaluate(WAYS['to the disk']);
    const chooser = page.waitForEvent('filechooser');
    await plumbline.button('Choose a folder').click();
    await (await chooser).setFiles(shoot.folder);
    await expect(plumbline.verdict).toContainText('Six of seven recordings share one clock.');
  });

  /** A file of the folder that the copies went into, brought where it can be read. */
  async function copied({ page }: Plumbline, name: string, folder: string): Promise<string> {
    const address = await page.evaluate(async (name) => {
      const folder = await navigator.storage.getDirectory();
      const file = await (await folder.getFileHandle(name)).getFile();
      return new Promise<string>((read) => {
        const reader = new FileReader();
        reader.onload = () => read(reader.result as string);
        reader.readAsDataURL(file);
      });
    }, name);
    const bytes = Buffer.from(address.slice(address.indexOf(',') + 1), 'base64');
    mkdirSync(folder, { recursive: true });
    const path = join(folder, name);
    writeFileSync(path, bytes);
    return path;
  }

  test('are made in one folder, each with its place on the sheet', async ({ plumbline, page }, {
    outputDir,
  }) => {
    test.slow();
    await plumbline.button('Change rail_02.wav').click();
    const later = page.getByLabel('Later by so many frames');
    await later.fill('2.5');
    await later.press('Enter');
    await expect(plumbline.row('rail_02.wav')).toContainText('moved by +2.5 frames');
    await plumbline.button('Make 7 stamped copies').click();
    await expect(page.locator('.copies-outcome')).toHaveText(
      'All 7 copies are made, read back and the same.',
    );
    const list = page.locator('.copies-ended li');
    await expect(list).toHaveCount(7);
    await expect(list.filter({ hasText: 'rail_02-stamped.wav' })).toContainText(
      'Made from the code on channel 1, moved by +2.5 frames from 09:09:10:03 by hand.',
    );
    for (const [index, path] of paths.entries()) {
      const copy = await copied(plumbline, STAMPED[index]!, outputDir);
      const start = reportOf(path).codes[0]!.start_samples_since_midnight!;
      // Two and a half frames of 25 are 4,800 samples of 48 kHz.
      const moved = path.endsWith('rail_02.wav') ? 4_800 : 0;
      const embedded = reportOf(copy).embedded.map(
        ({ samples_since_midnight: samples }) => samples,
      );
      expect(embedded).toEqual([Math.round(start + moved), Math.round(start + moved)]);
      expect(samplesOf(copy)).toEqual(samplesOf(path));
    }
    const rail = readFileSync(join(outputDir, 'rail_01-stamped.wav'), 'latin1');
    expect(rail).toContain('<TAPE>Deck camera</TAPE>');
    // Once more: names that are free, and nothing replaced.
    await plumbline.button('Make 7 stamped copies').click();
    await expect(list.filter({ hasText: 'rail_01-stamped 2.wav' })).toContainText('Stamped');
  });

  test('go on where one fails, and that one is named with what to do', async ({
    plumbline,
    page,
  }) => {
    await page.evaluate(() => {
      const showDirectoryPicker = async () => {
        const folder = await navigator.storage.getDirectory();
        return {
          getFileHandle: async (name: string, options?: FileSystemGetFileOptions) => {
            if (name === 'bell_02-stamped.wav' && options?.create === true) {
              throw new DOMException('It may not be written.', 'NoModificationAllowedError');
            }
            return folder.getFileHandle(name, options);
          },
        };
      };
      Object.assign(globalThis, { showDirectoryPicker });
    });
    await plumbline.button('Make 7 stamped copies').click();
    await expect(page.locator('.copies-outcome')).toHaveText(
      '6 of 7 copies are made, read back and the same.',
    );
    const failed = page.locator('.copies-ended li').filter({ hasText: 'bell_02-stamped.wav' });
    await expect(failed).toContainText('could not be made, and nothing of it was kept');
    await expect(failed).toContainText('It may not be written.');
  });

  test('can be stopped, and the one at work leaves nothing', async ({ plumbline, page }) => {
    await plumbline.drop(recordings.longTake);
    await expect(plumbline.row('slack-water.wav')).toBeVisible();
    await plumbline.button('Stop').click();
    await plumbline.button('Make 8 stamped copies').click();
    await expect(page.locator('.job')).toContainText('8 of 8: slack-water-stamped.wav');
    await page.locator('.job').getByRole('button', { name: 'Stop', exact: true }).click();
    await expect(page.locator('.copies-outcome')).toHaveText(
      'Stopped. 7 of 8 copies are made, read back and the same.',
    );
    const names = await page.evaluate(async () => {
      const folder = await navigator.storage.getDirectory();
      const names: string[] = [];
      for await (const name of folder.keys()) names.push(name);
      return names;
    });
    expect(names.filter((name) => name.startsWith('slack-water'))).toEqual([]);
  });

  test('leave out what has no place or no file, and say so', async ({ plumbline, page }) => {
    await plumbline.drop(recordings.camera);
    await expect(plumbline.row('north-quay.mov').locator('.cell-length')).not.toBeEmpty();
    await expect(page.locator('.copies')).toContainText('north-quay.mov (it is no WAV)');
    await page.reload();
    await expect(page.locator('.copies')).toContainText('(its file is not here)');
    await expect(plumbline.button('Make 7 stamped copies')).toHaveCount(0);
  });
});
