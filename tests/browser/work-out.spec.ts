// Published values, read off the place Work out as somebody would: typed or linked, then read.

import type { Page } from '@playwright/test';
import { expect, test } from './site';

/** What a sheet is opened with: the part and its fields, as they stand in a link. */
type Opened = { part: string } & Record<string, string>;

async function open(page: Page, address: string, fields: Opened): Promise<void> {
  await page.goto(`${address}#work-out?${new URLSearchParams(fields)}`);
  await expect(page.locator('.work-out .form')).toBeVisible();
}

/** The value that stands under a label, in the table with that title. */
function value(page: Page, title: string | RegExp, label: string) {
  return page
    .locator('section.sums', { has: page.getByRole('heading', { level: 2, name: title }) })
    .locator('.sum', { has: page.locator('dt').getByText(label, { exact: true }) })
    .locator('.sum-value > span');
}

type Check = {
  /** The document and clause that the values come from. */
  source: string;
  fields: Opened;
  values: readonly [title: string | RegExp, label: string, value: string][];
};

const MOMENT = 'This moment';
const SAMPLES = 'Samples since midnight';
const CODEWORD = 'The codeword, with user bits 0';
const INSTANT = 'The same instant at every rate';
const NUMBER = 'The same frame number at every rate';

const CHECKS: readonly Check[] = [
  {
    source: 'SMPTE ST 2059-1 clause 9.3.3.4; EBU Tech 3285 and IEC 60461 A.3 for samples',
    fields: { part: 'address', text: '01:00:00;00', rate: '29.97', counting: 'drop' },
    values: [
      [MOMENT, 'Time address', '01:00:00;00'],
      [MOMENT, 'Frames since midnight', '107892'],
      [MOMENT, 'Real time since midnight', '00:59:59.996400'],
      [SAMPLES, 'At 48 kHz', '172799827'],
      [SAMPLES, 'At 44.1 kHz', '158759841'],
      [/^Time reference of a bext chunk/, 'Low word', '172799827'],
      [/^Time reference of a bext chunk/, 'High word', '0'],
      // ST 12-1 tables 2 to 5.
      [CODEWORD, '10 bytes', '00 04 00 08 00 00 01 00 FC BF'],
      [INSTANT, '25', '01:00:00:00'],
      [NUMBER, '25', '01:11:55:17'],
    ],
  },
  {
    source: 'EBU Tech 3285 and IEC 60461 A.3',
    fields: { part: 'address', text: '12:34:56:12', rate: '23.976' },
    values: [
      [MOMENT, 'Frames since midnight', '1087116'],
      [SAMPLES, 'At 48 kHz', '2176406232'],
      // IEC 60461 tables 2 to 5.
      [CODEWORD, '10 bytes', '02 01 06 05 04 03 02 01 FC BF'],
      // Common practice: 16 frames to a foot of 35 mm, 40 of 16 mm; 1087116 = 67944 × 16 + 12.
      ['Film, a picture for every frame', '35 mm, 4 perforations, feet+frames', '67944+12'],
      ['Film, a picture for every frame', '16 mm, feet+frames', '27177+36'],
    ],
  },
  {
    source: 'EBU Tech 3285: 23:59:59:24 at 96 kHz needs the high word',
    fields: { part: 'address', text: '23:59:59:24', rate: '25', sample_rate: '96000' },
    values: [
      [/^Time reference of a bext chunk/, 'High word', '1'],
      [/^Time reference of a bext chunk/, 'Low word', '3999428864'],
      [CODEWORD, '10 bytes', '04 02 09 05 09 05 03 02 FC BF'],
    ],
  },
  {
    source: 'EBU Tech 3285, backwards: a stamp made at 23.976, read as 24',
    fields: { part: 'address', kind: 'time-reference', text: '172972800', rate: '24' },
    values: [[MOMENT, 'Time address', '01:00:03:14']],
  },
  {
    source: 'IEC 60461 clause 4.2.3: 1.001 costs 3.6 s an hour',
    fields: { part: 'speeds', shot: '24', played: '23.976', duration: '01:00:00:00' },
    values: [
      ['Speed', 'Exactly', '1000/1001'],
      ['Speed', 'Seconds longer, each hour', '3.6'],
      ['Length', 'Real time when played', '01:00:03.600000'],
      [/^Sound/, 'Sample rate to relabel to, in Hz', '47952.047952'],
    ],
  },
  {
    source: 'IEC 60461 clause 8.4: ±100 ppm, 360 ms an hour',
    fields: { part: 'clocks', drift: '100', first_tolerance: '100', second_tolerance: '100' },
    values: [
      ['Drift', 'Milliseconds an hour', '360'],
      ['Drift', 'Frames at 25 in 24 h', '216'],
      ['Two clocks', 'Until a whole frame', '3 min 20 s'],
      ['Two clocks', 'Until half a frame', '1 min 40 s'],
      ['Classes of clock', 'Source of timecode that runs free', '±100 ppm'],
    ],
  },
  {
    source: 'SMPTE ST 12-1 clause 8.4.2 and table 1: four characters with BGF0',
    fields: { part: 'user_bits', user_bits_are: 'characters', characters: 'SYNC' },
    values: [
      ['As they are sent', 'Binary groups 1 to 8', '3 4 E 4 9 5 3 5'],
      ['As they are sent', 'Binary group flags BGF2, BGF1, BGF0', '001'],
    ],
  },
];

for (const { source, fields, values } of CHECKS) {
  test(`${fields.part}: ${source}`, async ({ page, plumbline }) => {
    await open(page, plumbline.address, fields);
    for (const [title, label, right] of values) {
      await expect(value(page, title, label), label).toHaveText(right);
    }
  });
}

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
  await expect(page.locator('tr.bad')).toHaveCount(1);
  await expect(page.locator('tr.bad')).toContainText('Not right:');
  const csv = await plumbline.download('The list (CSV)');
  expect(csv.content.split(/\r?\n/).filter((line) => line !== '')).toHaveLength(4);
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
