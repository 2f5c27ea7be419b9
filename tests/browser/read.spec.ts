import { nameOf, recordings, type Report, reportOf } from './recordings';
import { expect, Plumbline, test } from './site';

test('a recording that is dropped shows the verdict, its start and what was found', async ({
  plumbline,
}) => {
  const report = reportOf(recordings.demo);
  const [code] = report.codes;
  expect(code?.findings.length).toBeGreaterThan(1);

  await plumbline.drop(recordings.demo);
  await plumbline.isRead();
  await expect(plumbline.page.getByText(nameOf(recordings.demo))).toBeVisible();
  await expect(plumbline.verdict).toContainText('ode on channel');
  await expect(plumbline.addresses.first()).toHaveText(code!.start);
  await expect(plumbline.findings).toHaveCount(code!.findings.length);
  for (const finding of await plumbline.findings.all()) {
    await expect(finding.locator('.remedy')).not.toBeEmpty();
  }
});

test('the JSON is the report that the program gives, to the last figure', async ({ plumbline }) => {
  await plumbline.choose('Choose recordings', recordings.demo);
  await plumbline.isRead();
  const { name, content } = await plumbline.download('Report (JSON)');
  expect(name).toBe('demo.json');
  const here = JSON.parse(content) as Report;
  expect(differences({ ...reportOf(recordings.demo), file: here.file }, here, '')).toEqual([]);
});

test('a film is read from its sound alone: both tracks, and the timecode track beside them', async ({
  plumbline,
}) => {
  const report = reportOf(recordings.camera);
  expect(report.codes.map(({ channel }) => channel)).toEqual([1, 3]);
  expect(report.embedded).toContainEqual(
    expect.objectContaining({ source: 'tmcd', start: '14:03:20:06' }),
  );
  await plumbline.drop(recordings.camera);
  await plumbline.isRead();
  await expect(plumbline.addresses.first()).toHaveText(report.codes[0]!.start);
  const { content } = await plumbline.download('Report (JSON)');
  const here = JSON.parse(content) as Report;
  expect(differences({ ...report, file: here.file }, here, '')).toEqual([]);
});

test('compressed sound: the start is the same, and a codeword is found again', async ({
  plumbline,
}) => {
  const [demo] = reportOf(recordings.demo).codes;
  const [code] = reportOf(recordings.phone).codes;
  expect(code!.start).toBe(demo!.start);
  await plumbline.drop(recordings.phone);
  await plumbline.isRead();
  await expect(plumbline.addresses.first()).toHaveText(demo!.start);
  await expect(plumbline.page.getByText('48 kHz · AAC · 2 channels')).toBeVisible();
  const hand = plumbline.page.getByRole('slider', { name: 'Place in the recording' });
  const box = (await hand.boundingBox())!;
  await hand.click({ position: { x: box.width * 0.2, y: box.height / 2 } });
  await expect(plumbline.codewordAddress).toHaveText(/^14:03:\d\d[:;]\d\d$/);
});

test('a film without its index, and one without sound, say so and what to do', async ({
  plumbline,
}) => {
  await plumbline.drop(recordings.unfinished);
  await expect(plumbline.verdict).toContainText('the file has no index (moov)');
  await expect(plumbline.page.getByText('put the card back into the device')).toBeVisible();
  await plumbline.drop(recordings.pictures);
  await plumbline.openSheet(nameOf(recordings.pictures));
  await expect(plumbline.verdict).toContainText('the file holds no sound, only pictures');
});

test('the CSV has the codes and the findings', async ({ plumbline }) => {
  await plumbline.drop(recordings.demo);
  await plumbline.isRead();
  const { name, content } = await plumbline.download('Report (CSV)');
  expect(name).toBe('demo.csv');
  const [code] = reportOf(recordings.demo).codes;
  expect(content).toContain(code!.start);
  for (const { kind } of code!.findings) expect(content).toContain(kind);
});

test('the demo recording is read through the same path', async ({ plumbline }) => {
  await plumbline.demo();
  const { content } = await plumbline.download('Report (JSON)');
  const here = JSON.parse(content) as Report;
  expect(differences({ ...reportOf(recordings.demo), file: here.file }, here, '')).toEqual([]);
});

test('the drawing and the findings point at each other', async ({ plumbline }) => {
  await plumbline.demo();
  const square = plumbline.page.locator('.square').first();
  const number = await square.innerText();
  const finding = plumbline.findings.nth(Number.parseInt(number, 10) - 1);
  await square.hover();
  await expect(finding).toHaveClass('pointed');
  await finding.hover();
  await expect(square).toHaveClass(/pointed/);
  await square.click();
  await expect(finding).toBeFocused();
});

test('pointing at the drawing shows the eighty bits of a codeword, and its neighbours', async ({
  plumbline,
}) => {
  await plumbline.demo();
  const hand = plumbline.page.getByRole('slider', {
    name: 'Place in the recording',
  });
  const box = (await hand.boundingBox())!;
  await hand.click({ position: { x: box.width * 0.2, y: box.height / 2 } });
  await expect(plumbline.codewordAddress).toHaveText(/^\d\d:\d\d:\d\d[:;]\d\d$/);
  await expect(plumbline.page.locator('.bits i')).toHaveCount(80);
  const first = await plumbline.codewordAddress.innerText();

  await plumbline.button('Later').click();
  await expect(plumbline.codewordAddress).not.toHaveText(first);
  await plumbline.button('Earlier').click();
  await expect(plumbline.codewordAddress).toHaveText(first);
  await expect(hand).toHaveAttribute('aria-valuetext', new RegExp(first));
});

test('a long reading shows how far it is, stops when told, and its report says so', async ({
  plumbline,
}) => {
  await plumbline.choose('Choose recordings', recordings.silence);
  await expect(plumbline.page.getByRole('progressbar')).toBeVisible();
  await expect(plumbline.page.locator('.progress')).toContainText(/left/);
  await plumbline.button('Stop').click();
  await plumbline.isRead();
  await expect(plumbline.page.locator('.trouble')).toContainText('stopped after');
  const { content } = await plumbline.download('Report (JSON)');
  expect((JSON.parse(content) as Report).error?.kind).toBe('stopped');
  await expect(plumbline.button('Read it again')).toBeVisible();

  await plumbline.choose('Read another', recordings.demo);
  await plumbline.openSheet(nameOf(recordings.demo));
  await plumbline.isRead();
});

test('a short recording does not wait for a long one, nor does a codeword', async ({
  page,
  site,
}) => {
  await page.addInitScript(() => {
    Object.defineProperty(navigator, 'hardwareConcurrency', { value: 2 });
  });
  const plumbline = new Plumbline(page, site.address);
  await plumbline.open();
  await plumbline.drop(recordings.silence, recordings.demo);
  await expect(plumbline.row(nameOf(recordings.demo))).toContainText('code on channel');
  await plumbline.openSheet(nameOf(recordings.demo));
  await plumbline.isRead();
  await plumbline.button('Show the first codeword').click();
  await expect(plumbline.codewordAddress).toBeVisible();
  // The long one is still being read.
  await page.goBack();
  await plumbline.openSheet(nameOf(recordings.silence));
  await plumbline.button('Stop').click();
  await plumbline.isRead();
  await expect(page.locator('.trouble')).toContainText('stopped after');
});

/** Where two values differ; figures may differ by what two mathematics libraries do. */
function differences(wanted: unknown, found: unknown, at: string): string[] {
  if (typeof wanted === 'number' && typeof found === 'number') {
    const apart = Math.abs(wanted - found);
    return apart <= 1e-6 * Math.max(1, Math.abs(wanted)) ? [] : [`${at}: ${wanted}, ${found}`];
  }
  if (
    typeof wanted !== 'object' ||
    typeof found !== 'object' ||
    wanted === null ||
    found === null
  ) {
    return wanted === found ? [] : [`${at}: ${String(wanted)}, ${String(found)}`];
  }
  const keys = new Set([...Object.keys(wanted), ...Object.keys(found)]);
  return [...keys].flatMap((key) =>
    differences(Reflect.get(wanted, key), Reflect.get(found, key), `${at}/${key}`),
  );
}

test('code that no codeword tells by itself has a start, and the page says what it rests on', async ({
  plumbline,
}) => {
  const [code] = reportOf(recordings.buried).codes;
  expect(code?.stretches.map(({ evidence }) => evidence)).toEqual(['together']);
  expect(code?.frames_read).toBe(0);

  await plumbline.drop(recordings.buried);
  await plumbline.isRead();
  await expect(plumbline.verdict).toContainText('too weak to be read frame by frame');
  await expect(plumbline.addresses.first()).toHaveText('14:03:20:00');
  await expect(plumbline.findings.first()).toContainText('to one');
});

test('code that is only suspected has no start, and the page says why', async ({ plumbline }) => {
  const report = reportOf(recordings.faint);
  expect(report.codes).toEqual([]);
  const [suspected] = report.suspected ?? [];
  expect(suspected?.odds_log10).toBeLessThan(6);

  await plumbline.drop(recordings.faint);
  await plumbline.isRead();
  await expect(plumbline.verdict).toContainText('No code that can be believed');
  await expect(plumbline.verdict).toContainText('channel 1 may carry some');
  await expect(plumbline.findings).toHaveCount(1);
  await expect(plumbline.findings.first()).toContainText(suspected!.text);
  await expect(plumbline.findings.first()).toContainText('a million to one');
});
