// Sound that the page leaves to the browser's own decoder (WebCodecs).

import { besides, compressed, type Report, reportOf } from './recordings';
import { expect, type Plumbline, test } from './site';

/** How far a codec that loses moves an edge, in samples. */
const NEAR = 0.5;

async function reportBy(plumbline: Plumbline, path: string): Promise<Report> {
  await plumbline.drop(path);
  await plumbline.isRead();
  const { content } = await plumbline.download('Report (JSON)');
  return JSON.parse(content) as Report;
}

function firstSample(report: Report): number {
  return report.codes[0]?.stretches[0]?.first_sample ?? NaN;
}

for (const [name] of compressed.files) {
  test(`${name}: the code is where it was put`, async ({ plumbline }) => {
    const report = await reportBy(plumbline, besides(compressed.plain, name));
    const plain = reportOf(compressed.plain);
    expect(report.error).toBeUndefined();
    expect(report.codes).toHaveLength(1);
    expect(report.codes[0]!.start).toBe(plain.codes[0]!.start);
    expect(report.codes[0]!.frames_read).toBe(plain.codes[0]!.frames_read);
    expect(Math.abs(firstSample(report) - compressed.begins)).toBeLessThan(NEAR);
  });
}

test('HE-AAC has the code where FFmpeg’s decoder has it', async ({ plumbline }) => {
  const report = await reportBy(plumbline, compressed.bands);
  const decoded = reportOf(compressed.bandsDecoded);
  expect(report.sample_rate).toBe(48_000);
  expect(report.codes[0]!.frames_read).toBe(decoded.codes[0]!.frames_read);
  expect(Math.abs(firstSample(report) - firstSample(decoded))).toBeLessThan(NEAR);
});

test('a packet that can’t be decoded becomes silence, and all else stays in its place', async ({
  plumbline,
}) => {
  const report = await reportBy(plumbline, compressed.damaged);
  expect(report.error?.kind).toBe('undecodable');
  expect(report.error?.text).toContain('1 packet of sound could not be decoded');
  const [before, after] = report.codes[0]!.stretches;
  const lost = report.codes[0]!.frames_lost;
  expect(lost).toBeGreaterThan(0);
  expect(lost).toBeLessThan(4);
  expect(report.codes[0]!.frames_read + lost).toBe(250);
  expect(Math.abs(firstSample(report) - compressed.begins)).toBeLessThan(NEAR);
  // Where the code goes on, its address and its place agree as before.
  if (after !== undefined) {
    const frames = Math.round((after.first_sample - before!.first_sample) / 1920);
    const place = compressed.begins + frames * 1920;
    expect(Math.abs(after.first_sample - place)).toBeLessThan(NEAR);
  }
});

test('single codewords of it are refused in words', async ({ plumbline }) => {
  await plumbline.drop(besides(compressed.plain, 'winch.webm'));
  await plumbline.isRead();
  await plumbline.button('Show the first codeword').click();
  await expect(plumbline.page.locator('.sheet')).toContainText(
    'Opus is decoded by the browser, in one go from the recording’s beginning',
  );
});

test.describe('where the browser has no decoder', () => {
  test.use({ serviceWorkers: 'block' });

  test('the error says so, and what to do', async ({ page, plumbline }) => {
    await page.route('**/*.js', async (route) => {
      const response = await route.fetch();
      await route.fulfill({ response, body: `delete self.AudioDecoder;${await response.text()}` });
    });
    await page.reload();
    const path = besides(compressed.plain, 'winch.opus');
    await plumbline.drop(path);
    const { error } = reportOf(path);
    expect(error!.text).toContain('the sound is Opus');
    await expect(page.locator('.sheet')).toContainText(error!.text);
    await expect(page.locator('.trouble .remedy')).toHaveText(error!.remedy);
  });
});
