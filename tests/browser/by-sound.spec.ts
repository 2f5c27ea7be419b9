import { join } from 'node:path';
import { nameOf, shoot, together } from './recordings';
import { expect, test } from './site';

test('a recording without code gets its place by what it heard beside one with code', async ({
  plumbline,
}) => {
  const { page } = plumbline;
  await plumbline.drop(together.recorder, together.phone);
  await expect(plumbline.row('boom.wav').locator('.cell-start')).toContainText('10:00:00:00');
  const start = plumbline.row('memo.wav').locator('.cell-start');
  await expect(start).toContainText('no code');

  await plumbline.button('Change memo.wav').click();
  await expect(page.getByLabel('Line up by sound with').locator('option')).toHaveText(['boom.wav']);
  await plumbline.button('Line up').click();
  await expect(page.locator('.by-sound-outcome')).toContainText(
    /Beside boom\.wav\. It begins 6\.53 s after the other, give or take 0\.\d+ ms/,
  );
  await expect(start).toContainText('10:00:06:13');
  await expect(start).toContainText('by sound');

  const saved = JSON.parse((await plumbline.download('Save: The shoot itself')).content);
  const lines = saved.entries.flatMap(({ sounds = [] }: { sounds?: unknown[] }) => sounds);
  expect(lines).toHaveLength(1);
  expect(Math.abs(lines[0].offset - together.later / 48_000)).toBeLessThan(1e-3);

  await page.reload();
  await expect(start).toContainText('10:00:06:13');
  await plumbline.button('Change memo.wav').click();
  await expect(page.getByText('To line it up by its sound, drop it')).toBeVisible();
  await plumbline.button('Take this back').click();
  await expect(start).toContainText('–');
});

test('a recording with nothing but code is refused, with what to do', async ({ plumbline }) => {
  const [name, start] = shoot.recordings[0];
  await plumbline.drop(join(shoot.folder, name), together.phone);
  await expect(plumbline.row(nameOf(name)).locator('.cell-start')).toContainText(start);
  await plumbline.button('Change memo.wav').click();
  await plumbline.button('Line up').click();
  const outcome = plumbline.page.locator('.by-sound-outcome');
  await expect(outcome).toContainText('There is code on every channel');
  await expect(outcome).toContainText('Choose a recording with sound on a channel of its own.');
});

test.describe('a recording that nobody knows the place of', () => {
  test.beforeEach(async ({ plumbline }) => {
    // One that has code on its only channel was near, and heard nothing.
    const deaf = join(shoot.folder, shoot.recordings[0][0]);
    await plumbline.drop(deaf, together.recorder, together.second, together.phone);
    await expect(plumbline.row('memo.wav').locator('.cell-start')).toContainText('no code');
    await expect(plumbline.row('stern.wav').locator('.cell-start')).toContainText('10:00:05:00');
  });

  test('is looked for in all others by itself; the way back is undo', async ({ plumbline }) => {
    const start = plumbline.row('memo.wav').locator('.cell-start');
    await plumbline.button('Look by sound for the recording without a place').click();
    await expect(start).toContainText('10:00:06:13');
    await expect(start).toContainText('by sound');
    const saved = JSON.parse((await plumbline.download('Save: The shoot itself')).content);
    const lines = saved.entries.flatMap(({ sounds = [] }: { sounds?: unknown[] }) => sounds);
    expect(lines).toHaveLength(2);
    await plumbline.button('Undo the last change').click();
    await expect(start).toContainText('–');
    await expect(plumbline.button('Undo the last change')).toHaveCount(0);
  });

  test('is looked for in all from its own row, and what came of it is told', async ({
    plumbline,
  }) => {
    await plumbline.button('Change memo.wav').click();
    await plumbline.button('Look for it by sound in all 3 recordings').click();
    await expect(plumbline.page.locator('.by-sound-outcome')).toHaveText(
      /Compared with [23] recordings: heard beside 2 of them\./,
    );
    await expect(plumbline.row('memo.wav').locator('.cell-start')).toContainText('10:00:06:13');
  });

  test('is looked for near a rough start alone, where there is one', async ({ plumbline }) => {
    const { page } = plumbline;
    await plumbline.button('Change memo.wav').click();
    await page.getByLabel('Line up by sound with').selectOption({ label: 'boom.wav' });
    const rough = page.getByLabel('It begins at about');
    await rough.fill('10:00:99:00');
    await expect(page.locator('#rough-problem')).toContainText('Type hours, minutes, seconds');
    await expect(plumbline.button('Line up')).toBeDisabled();
    await page.getByLabel('Give or take').selectOption('2');
    await rough.fill('10:00:10:00');
    await plumbline.button('Line up').click();
    await expect(page.locator('.by-sound-outcome')).not.toContainText('It begins');
    await expect(page.locator('.by-sound-outcome')).toContainText('Beside boom.wav.');
    await rough.fill('10:00:07:00');
    await plumbline.button('Line up').click();
    await expect(page.locator('.by-sound-outcome')).toContainText('It begins 6.53 s after');
  });
});
