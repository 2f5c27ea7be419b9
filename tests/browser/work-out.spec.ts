// Published values, read off the place Work out as somebody would: typed or linked, then read.

import type { Page } from '@playwright/test';
import { type Sheet, type Shown, SOME, WHOLE } from './published';
import { expect, test } from './site';

async function open(page: Page, address: string, fields: Sheet['fields']): Promise<void> {
  await page.goto(`${address}#work-out?${new URLSearchParams(fields)}`);
  await expect(page.locator('.work-out .form')).toBeVisible();
}

/** Every value on the page, under its label in its table. */
function shown(page: Page): Promise<Shown> {
  return page
    .locator('section.sums:has(dl)')
    .evaluateAll((sections) =>
      Object.fromEntries(
        sections.map((section) => [
          section.querySelector('h2')!.textContent,
          Object.fromEntries(
            [...section.querySelectorAll('.sum')].map((sum) => [
              sum.querySelector('dt')!.textContent,
              sum.querySelector('.sum-value > span')!.textContent,
            ]),
          ),
        ]),
      ),
    );
}

for (const { source, fields, tables } of WHOLE) {
  test(`all of ${fields.part}: ${source}`, async ({ page, plumbline }) => {
    await open(page, plumbline.address, fields);
    await expect(async () => expect(await shown(page)).toEqual(tables)).toPass();
  });
}

for (const { source, fields, tables } of SOME) {
  test(`${fields.part}: ${source}`, async ({ page, plumbline }) => {
    await open(page, plumbline.address, fields);
    await expect(async () => expect(await shown(page)).toMatchObject(tables)).toPass();
  });
}

test('each value can be copied', async ({ page, plumbline, context }) => {
  await context.grantPermissions(['clipboard-read', 'clipboard-write']);
  const { fields, tables } = WHOLE.find(({ fields }) => fields.part === 'address')!;
  await open(page, plumbline.address, fields);
  const copies = page.locator('.sum-value');
  await expect(copies).toHaveCount(Object.values(tables).flatMap(Object.keys).length);
  const copied = await copies.evaluateAll(async (values) => {
    const pairs: [shown: string, copied: string][] = [];
    for (const value of values) {
      value.querySelector('button')!.click();
      while (value.querySelector('button')!.innerText !== 'Copied') {
        await new Promise((later) => setTimeout(later, 1));
      }
      const shown = value.querySelector('span')!.textContent;
      pairs.push([shown, await navigator.clipboard.readText()]);
    }
    return pairs;
  });
  for (const [shown, copy] of copied) expect(copy).toBe(shown);
  // What is copied is another value once something else was typed.
  await page.getByLabel('Address, count or time').fill('01:02:03;04');
  await expect(page.getByRole('button', { name: 'Copied: Time address' })).toHaveCount(0);
});

test('the worksheet answers line by line, and says where a line is wrong', async ({
  page,
  plumbline,
}) => {
  await open(page, plumbline.address, { part: 'worksheet', rate: '29.97', counting: 'drop' });
  await page
    .getByLabel('Lines of arithmetic')
    .fill('00:00:59;29 + 1 frame\nfrom 00:00:00;00 to 01:00:00;00\n01:00:00;00 + nothing');
  const lines = page.locator('.lines > li');
  // SMPTE ST 12-1 clause 5.2: two numbers are dropped at the minute.
  await expect(lines.nth(0)).toContainText('00:01:00;02');
  await expect(lines.nth(1)).toContainText('107892 frames');
  await expect(lines.nth(2)).toContainText('Not right:');
  await expect(lines.nth(2).locator('mark')).toHaveText('nothing');
  await expect(page.locator('.total .sum-value > span')).toHaveText('01:00:00;00 long');
  await expect(plumbline.verdict).toHaveText(
    '01:00:00;00 long at 29.97 drop-frame. Line 3 is not right.',
  );
});

test('every example of the syntax does what it says', async ({ page, plumbline }) => {
  await open(page, plumbline.address, { part: 'worksheet' });
  await page.getByText('What can be written').click();
  const examples = page.locator('.topic li');
  const count = await examples.count();
  expect(count).toBeGreaterThan(10);
  for (let at = 0; at < count; at += 1) {
    const gives = (await examples.nth(at).locator('span').innerText()).trim();
    await examples.nth(at).getByRole('button', { name: 'Try it' }).click();
    await expect(page.locator('.lines > li').last()).toContainText(gives);
  }
});

test('a list is added up, and a bad row is marked and counted', async ({ page, plumbline }) => {
  await open(page, plumbline.address, { part: 'rows' });
  await page
    .getByLabel('The list, pasted')
    .fill(
      'Ferry\t10:00:00:00\t10:00:10:00\nDeck\t10:00:12:00\t10:00:20:10\nBad\t10:00:30:00\t10:00:25:00',
    );
  await expect(plumbline.verdict).toContainText('00:00:18:10');
  // Number, label, in, out, length, running total, and what follows.
  const cells = (row: number) => page.locator('tbody tr').nth(row).locator('td').allInnerTexts();
  expect(await cells(0)).toEqual([
    '1',
    'Ferry',
    '10:00:00:00',
    '10:00:10:00',
    '00:00:10:00',
    '00:00:10:00',
    '',
  ]);
  expect(await cells(1)).toEqual([
    '2',
    'Deck',
    '10:00:12:00',
    '10:00:20:10',
    '00:00:08:10',
    '00:00:18:10',
    'gap of 00:00:02:00',
  ]);
  await expect(page.locator('tr.bad')).toHaveCount(1);
  await expect(page.locator('tr.bad')).toContainText('Not right:');
  const csv = await plumbline.download('The list (CSV)');
  expect(csv.content.split(/\r?\n/).filter((line) => line !== '')).toHaveLength(4);
});

test('a list of thousands is added up; its beginning and its bad rows are shown', async ({
  page,
  plumbline,
  context,
}) => {
  await context.grantPermissions(['clipboard-read', 'clipboard-write']);
  await open(page, plumbline.address, { part: 'rows' });
  const rows = Array.from({ length: 5000 }, (_, at) => `Row ${at}\t10:00:00:00\t10:00:10:00`);
  rows[4000] = 'Bad\t10:00:30:00\t10:00:25:00';
  await page.evaluate((text) => navigator.clipboard.writeText(text), rows.join('\n'));
  await page.getByLabel('The list, pasted').press('ControlOrMeta+V');
  // 4999 rows of 10 s.
  await expect(plumbline.verdict).toContainText('13:53:10:00');
  await expect(page.locator('tr.bad td').first()).toHaveText('4001');
  await expect(page.getByText('4,699 more lines are not shown here')).toBeVisible();
  const csv = await plumbline.download('The list (CSV)');
  expect(csv.content.split(/\r?\n/).filter((line) => line !== '')).toHaveLength(5001);
});

test('what was typed is kept on the device and in the link', async ({ page, plumbline }) => {
  await open(page, plumbline.address, { part: 'address' });
  await page.getByLabel('Address, count or time').fill('01:02:03:04');
  await expect(plumbline.verdict).toContainText('01:02:03:04');
  await expect.poll(() => page.url()).toContain('text=01:02:03:04');
  await page.goto(`${plumbline.address}#read`);
  await page.goto(`${plumbline.address}#work-out`);
  await page.reload();
  await expect(page.getByLabel('Address, count or time')).toHaveValue('01:02:03:04');
});

test('rubbish in a link breaks nothing', async ({ page, plumbline }) => {
  await open(page, plumbline.address, { part: 'address', text: '☃:99', rate: 'x', counting: '' });
  await expect(page.locator('.problem').first()).toContainText('Not right:');
  await page.getByRole('button', { name: 'Clear all settings' }).click();
  await expect(page.locator('.problem')).toHaveCount(0);
});

test('the keypad types where the field stands', async ({ page, plumbline }) => {
  await open(page, plumbline.address, { part: 'address' });
  const field = page.getByLabel('Address, count or time');
  await field.fill('');
  await field.focus();
  await page.getByRole('button', { name: 'Keypad' }).click();
  await field.focus();
  for (const key of ['1', 'colon', '0', '0', 'colon', '00', 'delete', '2']) {
    await page
      .getByRole('group', { name: 'Keypad' })
      .getByRole('button', { name: key, exact: true })
      .click();
  }
  await expect(field).toHaveValue('1:00:02');
});
