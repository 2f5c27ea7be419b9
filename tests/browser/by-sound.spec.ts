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
