import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { nameOf, recordings, shoot } from './recordings';
import { expect, Plumbline, test } from './site';

const ALL = shoot.recordings.length;
const VERDICT = 'Six of seven recordings share one clock. Bridge camera runs at 29.97.';

async function chooseFolder(plumbline: Plumbline): Promise<void> {
  const chooser = plumbline.page.waitForEvent('filechooser');
  await plumbline.button('Choose a folder').click();
  await (await chooser).setFiles(shoot.folder);
}

const paths = shoot.recordings.map(([name]) => join(shoot.folder, name));

test.describe('a folder', () => {
  test.beforeEach(async ({ plumbline }) => {
    await chooseFolder(plumbline);
    await expect(plumbline.verdict).toHaveText(VERDICT);
  });

  test('is read whole, each recording in its device’s row, and what is no recording is told', async ({
    plumbline,
  }) => {
    const { page } = plumbline;
    await expect(page.locator('.recordings tbody tr')).toHaveCount(ALL);
    for (const [name, start] of shoot.recordings) {
      const row = plumbline.row(nameOf(name));
      await expect(row.locator('.cell-start')).toContainText(start);
      await expect(row.locator('.cell-device')).toHaveText(name.split('/', 1)[0]!, {
        ignoreCase: true,
      });
    }
    await expect(page.getByText('One file in the folder is no recording')).toBeVisible();
    await expect(
      page.getByRole('img', { name: /Deck camera: 2 recordings from 09:07:09:00/ }),
    ).toBeVisible();
    await expect(plumbline.findings).toHaveCount(1);
    await expect(plumbline.row('B02.wav').locator('.number')).toHaveText('1');
    // The drawing and the table lead to the finding, and the drawing shows which it is.
    const finding = plumbline.findings.first();
    await page.locator('.rolling .square').hover();
    await expect(finding).toHaveClass('pointed');
    await page.locator('.rolling .square').click();
    await expect(finding).toBeFocused();
    await plumbline.verdict.focus();
    await plumbline.row('B02.wav').getByRole('button', { name: 'Findings 1' }).click();
    await expect(finding).toBeFocused();
  });

  test('is sorted by any column, either way', async ({ plumbline }) => {
    const { page } = plumbline;
    const names = () => page.locator('.recordings .row-name').allInnerTexts();
    expect((await names())[0]).toBe('B01.wav');
    await plumbline.button('recording').click();
    expect(await names()).toEqual(shoot.recordings.map(([name]) => nameOf(name)).toSorted());
    await expect(page.locator('th[aria-sort=ascending]')).toHaveText(/recording/);
    await page.getByRole('button', { name: 'length' }).click();
    await page.getByRole('button', { name: 'length' }).click();
    expect((await names())[0]).toBe('bell_02.wav');
  });

  test('has each recording’s own sheet behind it, and the browser’s way back', async ({
    plumbline,
  }) => {
    await plumbline.openSheet('rail_02.wav');
    await expect(plumbline.addresses.first()).toHaveText('09:09:10:03');
    await plumbline.page.goBack();
    await expect(plumbline.verdict).toHaveText(VERDICT);
    await plumbline.openSheet('rail_01.wav');
    await plumbline.button(`‹ All ${ALL} recordings`).click();
    await plumbline.openSheet('B02.wav');
    await plumbline.button('Take it off the page').click();
    await expect(plumbline.verdict).toHaveText('All six recordings share one clock.');
  });

  test('is there again after a new start of the page; dropped again, it is not read again', async ({
    plumbline,
  }) => {
    const { page } = plumbline;
    await page.reload();
    await expect(plumbline.verdict).toHaveText(VERDICT);
    await plumbline.openSheet('rail_02.wav');
    await expect(page.locator('.file-line')).toContainText('read before');
    await page.goBack();
    const chooser = page.waitForEvent('filechooser');
    await plumbline.button('Add a folder').click();
    await (await chooser).setFiles(shoot.folder);
    await expect(page.locator('.recordings tbody tr')).toHaveCount(ALL);

    await plumbline.button('Clear this shoot').click();
    await expect(page.getByText(`${ALL} readings are kept`)).toBeVisible();
    await plumbline.button('Clear the readings').click();
    await expect(page.getByText('readings are kept')).toHaveCount(0);
    await page.reload();
    await expect(plumbline.button('Choose a folder')).toBeVisible();
    await chooseFolder(plumbline);
    await expect(plumbline.verdict).toHaveText(VERDICT);
    await plumbline.openSheet('rail_02.wav');
    await expect(page.locator('.file-line')).toContainText(/read in/);
  });

  test('is changed by hand: moved, placed, given to another device, and undone', async ({
    plumbline,
  }) => {
    const { page } = plumbline;
    const start = plumbline.row('rail_02.wav').locator('.cell-start');
    await plumbline.button('Change rail_02.wav').click();
    const later = page.getByLabel('Later by so many frames');
    await later.fill('2.5');
    await later.press('Enter');
    await expect(start).toContainText('09:09:10:05');
    await expect(plumbline.row('rail_02.wav')).toContainText(
      'moved by +2.5 frames from 09:09:10:03',
    );
    await later.fill('some');
    await later.press('Enter');
    await expect(page.locator('.change-problem')).toContainText(
      '“some” is not a number of frames or samples.',
    );
    await expect(start).toContainText('09:09:10:03');
    await later.fill('');
    await page.getByLabel('Address of the first frame').fill('10:00:00:00');
    await page.getByLabel('Address of the first frame').press('Enter');
    await expect(start).toContainText('10:00:00:00');
    const device = page.getByLabel('Device', { exact: true });
    await device.fill('sound bag');
    await device.press('Enter');
    await expect(plumbline.row('rail_02.wav').locator('.cell-device')).toHaveText('Sound bag');
    await plumbline.button('Undo the last change').click();
    await expect(plumbline.row('rail_02.wav').locator('.cell-device')).toHaveText('Deck camera');
    for (let undone = 0; undone < 4; undone += 1) {
      await plumbline.button('Undo the last change').click();
    }
    await expect(start).toContainText('09:09:10:03');
    await expect(plumbline.button('Undo the last change')).toHaveCount(0);
  });

  test('has a rate that a person may say, marked as theirs', async ({ plumbline }) => {
    const { page } = plumbline;
    await plumbline.button('Change rail_02.wav').click();
    const rate = page.getByLabel('Frame rate');
    await expect(rate).toHaveAttribute('placeholder', '25');
    await rate.fill('24');
    await rate.press('Enter');
    await expect(plumbline.row('rail_02.wav')).toContainText('at 24 instead of 25');
    await expect(plumbline.findings.filter({ hasText: 'Deck camera: another rate' })).toHaveCount(
      1,
    );
    await rate.fill('26');
    await rate.press('Enter');
    await expect(page.locator('.change-problem')).toContainText('“26” is not a frame rate.');
    await plumbline.button('Undo the last change').click();
    await plumbline.button('Undo the last change').click();
    await expect(plumbline.row('rail_02.wav')).not.toContainText('instead of');
  });

  test('is told in words: who rolled together, gaps, and each time', async ({ plumbline }) => {
    const { page } = plumbline;
    const words = page.locator('.rolling-words');
    await expect(words.locator('p').first()).toHaveText(
      /^All three devices rolled together for \d.* of the 6 min \d\d s from the first recording/,
    );
    await page.getByText('Who was rolling when, and the gaps').click();
    const first = words.locator('tbody tr').first();
    await expect(first).toHaveText('09:07:03:0009:07:06:123.5 sBridge camera');
    await expect(words.locator('tbody tr').filter({ hasText: 'all three' }).first()).toContainText(
      '09:07:09:00',
    );
    await expect(words.locator('.facts')).toContainText('one gap, 1 min 46 s from 09:07:24:00');
  });

  test('that is cleared by mistake is brought back, with what was changed by hand', async ({
    plumbline,
  }) => {
    const { page } = plumbline;
    await page.getByLabel('Name of the shoot').fill('Crossing');
    await page.getByLabel('Name of the shoot').blur();
    const name = page.locator('.device input').first();
    await name.fill('Bridge wide');
    await name.blur();
    await plumbline.button('Clear this shoot').click();
    await plumbline.button('Bring back the shoot').click();
    await expect(plumbline.verdict).toContainText('Bridge wide runs at 29.97');
    await expect(page.getByLabel('Name of the shoot')).toHaveValue('Crossing');
    await plumbline.openSheet('rail_02.wav');
    await expect(plumbline.button('Stamped copy')).toBeVisible();
  });

  test('has devices that can be named', async ({ plumbline }) => {
    const { page } = plumbline;
    const name = page.locator('.device input').first();
    await name.fill('Bridge wide');
    await name.press('Enter');
    await name.blur();
    await expect(plumbline.verdict).toContainText('Bridge wide runs at 29.97');
    await page.reload();
    await expect(plumbline.verdict).toContainText('Bridge wide runs at 29.97');
  });

  test('is looked at from the day to a frame, from the keyboard and by hand', async ({
    plumbline,
  }) => {
    const { page } = plumbline;
    const hand = page.getByRole('slider', { name: 'Moment of the day' });
    const labels = page.locator('.rolling .axis text');
    await expect(labels.first()).toHaveText('09:07');
    // All three rolled 12 seconds past 09:07.
    const { width } = (await hand.boundingBox())!;
    const bound = async (name: string) => Number(await hand.getAttribute(name));
    const [from, to] = [await bound('aria-valuemin'), await bound('aria-valuemax')];
    const second = 9 * 3600 + 7 * 60 + 12;
    await hand.click({ position: { x: ((second - from) / (to - from)) * width, y: 60 } });
    await expect(page.locator('.rolling-foot')).toContainText(/09:07:1\d:\d\d all 3/);
    await hand.focus();
    for (let closer = 0; closer < 12; closer += 1) await page.keyboard.press('+');
    await expect(labels.first()).toHaveText(/^09:07:1\d:\d\d$/);
    const before = await page.locator('.rolling-foot p').innerText();
    await page.keyboard.press('ArrowRight');
    await expect(page.locator('.rolling-foot p')).not.toHaveText(before);
    await page.keyboard.press('Home');
    await expect(labels.first()).toHaveText('09:07');
    // The wheel zooms with a modifier only: without one the page scrolls.
    await hand.hover();
    await page.mouse.wheel(0, 40);
    await expect(labels.first()).toHaveText('09:07');
    await page.keyboard.down('Control');
    await page.mouse.wheel(0, -900);
    await page.keyboard.up('Control');
    await expect(labels.first()).not.toHaveText('09:07');
    await plumbline.button('Whole day').click();
    await expect(labels.first()).toHaveText('09:07');
  });
});

test.describe('handed over', () => {
  test.beforeEach(async ({ plumbline }) => {
    await chooseFolder(plumbline);
    await expect(plumbline.verdict).toHaveText(VERDICT);
    const name = plumbline.page.getByLabel('Name of the shoot');
    await name.fill('Ferry: day 2/3');
    await name.blur();
  });

  test('as a timeline, edit lists and a table', async ({ plumbline }) => {
    const timeline = await plumbline.download('Save: Timeline');
    expect(timeline.name).toBe('Ferry day 2 3.otio');
    const { OTIO_SCHEMA: schema, tracks } = JSON.parse(timeline.content);
    expect(schema).toBe('Timeline.1');
    expect(tracks.children.map(({ name }: { name: string }) => name)).toEqual([
      'Bridge camera',
      'Deck camera',
      'Sound bag',
    ]);

    const list = await plumbline.download('Save: Edit list for all');
    expect(list.content).toContain('TITLE: ');
    expect(list.content).toContain('* FROM CLIP NAME: bell_02.wav');

    const { page } = plumbline;
    const names: string[] = [];
    page.on('download', (download) => names.push(download.suggestedFilename()));
    await plumbline.button('Save: Edit lists, one a device').click();
    const ofDevice = (device: string) => `Ferry day 2 3, ${device}.edl`;
    await expect
      .poll(() => names.toSorted())
      .toEqual(['Bridge camera', 'Deck camera', 'Sound bag'].map(ofDevice));

    const table = await plumbline.download('Save: Table');
    expect(table.content.trim().split('\r\n')).toHaveLength(ALL + 1);
  });

  test('as the shoot itself, which is opened again without its recordings', async ({ plumbline }, {
    outputDir,
  }) => {
    const { page } = plumbline;
    await plumbline.button('Change rail_02.wav').click();
    await page.getByLabel('Later by so many frames').fill('3');
    await page.getByLabel('Later by so many frames').press('Enter');
    const saved = await plumbline.download('Save: The shoot itself');
    await plumbline.button('Clear this shoot').click();
    await plumbline.button('Clear the readings').click();

    mkdirSync(outputDir, { recursive: true });
    const path = join(outputDir, 'day 2.json');
    writeFileSync(path, saved.content);
    await plumbline.drop(path);
    await expect(plumbline.verdict).toHaveText(VERDICT);
    await expect(page.getByLabel('Name of the shoot')).toHaveValue('Ferry: day 2/3');
    await expect(plumbline.row('rail_02.wav')).toContainText('moved by +3 frames');
    await plumbline.openSheet('rail_01.wav');
    await expect(plumbline.verdict).toHaveText('rail_01.wav is known from a saved shoot.');
    await page.reload();
    await expect(plumbline.verdict).toHaveText(VERDICT);

    // One that can't be opened says why, and what is there stays.
    const damaged = join(outputDir, 'damaged.json');
    writeFileSync(damaged, saved.content.slice(0, 300));
    await plumbline.drop(damaged);
    await expect(page.getByRole('alert')).toContainText('damaged.json can’t be opened as a shoot.');
    await expect(page.getByRole('alert')).toContainText('it is no JSON from line');
  });
});

test('a demo shoot shows in one press what the page is for', async ({ plumbline }) => {
  await plumbline.button('Make a demo shoot').click();
  await expect(plumbline.verdict).toContainText('recordings share one clock');
  await expect(plumbline.page.locator('.recordings tbody tr')).toHaveCount(12);
  await expect(plumbline.findings).toHaveCount(5);
  await expect(plumbline.findings.filter({ hasText: 'Deck camera drifts' })).toContainText('ppm');
  await expect(plumbline.page.getByLabel('Name of the shoot')).toHaveValue('The last crossing');

  // How far its clocks were apart is a figure at any moment, also from the keyboard.
  const { page } = plumbline;
  await expect(page.locator('.jam')).toContainText('Jammed again every');
  const hand = page.getByRole('slider', { name: 'The clocks at a moment' });
  await hand.focus();
  await page.keyboard.press('ArrowRight');
  const apart = page.locator('.apart');
  await expect(apart.locator('h3')).toHaveText(/^Apart at \d\d:\d\d:\d\d:\d\d$/);
  await expect(apart).toContainText(/frames \(\d[^)]* ± \d[^)]*\) (behind|ahead of) the code/);
  await expect(hand).toHaveAttribute('aria-valuetext', /: .*the code/);
  const lines = page.locator('.drift .axis').last().locator('path');
  const count = await lines.count();
  expect(count).toBeGreaterThanOrEqual(3);
  expect(count).toBeLessThanOrEqual(5);
});

test('a verdict is heard once all have been read', async ({ plumbline }) => {
  await plumbline.drop(...paths);
  const spoken = plumbline.page.locator('.paper > [role=status]');
  await expect(spoken).toHaveText(/recordings share one clock/);
});

test('all progress is shown and stopped together; what waited can be read later', async ({
  page,
  site,
}) => {
  await page.addInitScript(() => {
    Object.defineProperty(navigator, 'hardwareConcurrency', { value: 1 });
  });
  const plumbline = new Plumbline(page, site.address);
  await plumbline.open();
  await plumbline.drop(recordings.silence, recordings.demo, recordings.cutOff);
  await expect(page.locator('.read-of')).toHaveText('0 of 3 recordings read');
  await expect(plumbline.row(nameOf(recordings.demo))).toContainText('waiting for its turn');
  await plumbline.button('Stop').click();
  await expect(plumbline.row(nameOf(recordings.demo))).toContainText('not read');
  await expect(page.getByText('2 recordings were taken out')).toBeVisible();
  await plumbline.button('Go on reading').click();
  await expect(plumbline.row(nameOf(recordings.demo))).toContainText('code on channel 2');
});

test('a file that is opened with the installed page is read', async ({ page, site }) => {
  await page.addInitScript(() => {
    const consumers: ((launch: { files: unknown[] }) => void)[] = [];
    const setConsumer = (consumer: (typeof consumers)[number]) => consumers.push(consumer);
    Object.defineProperty(window, 'launchQueue', { value: { setConsumer } });
    Object.defineProperty(window, 'launch', {
      value: (name: string, content: string) =>
        consumers[0]?.({ files: [{ getFile: async () => new File([content], name) }] }),
    });
  });
  await page.goto(`${site.address}#make`);
  await page.evaluate(() =>
    (window as never as { launch: Function })['launch']('quay.wav', 'no sound'),
  );
  await expect(page.locator('.file-name')).toHaveText('quay.wav');
  await expect(page.getByRole('heading', { level: 1 })).toContainText('can’t be read');
});

test('a file that is shared with the installed page is read', async ({ page, site }) => {
  await page.goto(site.address);
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.reload();
  const way = await page.evaluate(async () => {
    const form = new FormData();
    form.append('recordings', new File(['no sound'], 'memo.wav'));
    const { redirected, url } = await fetch('./shared', { method: 'POST', body: form });
    return { redirected, url };
  });
  expect(way).toEqual({ redirected: true, url: site.address });
  await page.reload();
  await expect(page.locator('.file-name')).toHaveText('memo.wav');
});
