import { nameOf, recordings, reportOf } from './recordings';
import { expect, Plumbline, test } from './site';

for (const key of ['empty', 'text', 'headerOnly'] as const) {
  const path = recordings[key];
  test(`${nameOf(path)} gives an error that says what is wrong and what to do`, async ({
    plumbline,
  }) => {
    const { error } = reportOf(path);
    expect(error).toBeDefined();
    await plumbline.drop(path);
    await plumbline.isRead();
    await expect(plumbline.page.locator('.sheet')).toContainText(error!.text);
    // What is wrong with a whole file stands at no byte of it.
    const places = plumbline.page.locator('.trouble-place');
    await expect(places).toHaveCount(error!.at === undefined ? 0 : 1);
    await expect(plumbline.page.locator('.trouble .remedy')).toHaveText(error!.remedy);
    await expect(plumbline.addresses).toHaveCount(0);
  });
}

test('a recording that was cut off is read to its end, and says so', async ({ plumbline }) => {
  const report = reportOf(recordings.cutOff);
  await plumbline.drop(recordings.cutOff);
  await plumbline.isRead();
  await expect(plumbline.addresses.first()).toHaveText(report.codes[0]!.start);
  expect(report.error?.kind).toBe('truncated');
  await expect(plumbline.page.locator('.trouble')).toContainText(report.error!.text);
});

test('samples that are no numbers do not stop the reading', async ({ plumbline }) => {
  await plumbline.drop(recordings.notFinite);
  await plumbline.isRead();
  await expect(plumbline.addresses.first()).toHaveText(reportOf(recordings.demo).codes[0]!.start);
});

test('a script in a scene name is shown as text and never run', async ({ plumbline }) => {
  await plumbline.drop(recordings.script);
  await plumbline.isRead();
  await expect(plumbline.page.getByText('<script>document.title="x"</script>')).toBeVisible();
  await expect(plumbline.page).toHaveTitle('Plumbline');
});

test('metadata that is no XML does not stop the reading', async ({ plumbline }) => {
  await plumbline.drop(recordings.notXml);
  await plumbline.isRead();
  await expect(plumbline.addresses.first()).toHaveText(reportOf(recordings.demo).codes[0]!.start);
});

test('one bad file among several does not keep the others from being read', async ({
  plumbline,
}) => {
  const paths = [recordings.text, recordings.demo, recordings.empty, recordings.cutOff];
  await plumbline.drop(...paths);
  const row = (path: string) => plumbline.row(nameOf(path));
  await expect(plumbline.page.locator('.recordings tbody tr')).toHaveCount(paths.length);
  const { start } = reportOf(recordings.demo).codes[0]!;
  await expect(row(recordings.demo)).toContainText(start);
  await expect(row(recordings.cutOff)).toContainText(start);

  await plumbline.openSheet(nameOf(recordings.cutOff));
  await expect(plumbline.addresses.first()).toHaveText(start);
  await plumbline.page.goBack();
  await plumbline.openSheet(nameOf(recordings.text));
  await expect(plumbline.addresses).toHaveCount(0);
  await expect(plumbline.page.locator('.sheet')).toContainText(
    reportOf(recordings.text).error!.text,
  );
});

test.describe('when the reader breaks', () => {
  test.use({ serviceWorkers: 'block' });

  test('the file gets an error in words and the next one is read', async ({ page, site }) => {
    let breaking = true;
    await page.route('**/*.wasm', (route) => (breaking ? route.abort() : route.continue()));
    await page.goto(site.address);
    await page.getByRole('button', { name: 'Make a demo recording' }).click();
    await expect(page.getByRole('heading', { level: 1 })).toHaveText(
      'Reading this file broke the reader.',
    );
    breaking = false;
    await page.getByRole('button', { name: 'Read it again' }).click();
    await expect(page.getByRole('button', { name: 'Report (JSON)' })).toBeVisible();
  });

  test('the other recordings are read, and so is the one after it', async ({ page, site }) => {
    let breaking = true;
    await page.route('**/*.wasm', async (route) => {
      // The page loads the module too; it is a reader that is to break.
      const { referer } = await route.request().allHeaders();
      const abort = breaking && (referer?.includes('worker') ?? false);
      if (abort) breaking = false;
      return abort ? route.abort() : route.continue();
    });
    await page.addInitScript(() => {
      Object.defineProperty(navigator, 'hardwareConcurrency', { value: 2 });
    });
    await page.goto(site.address);
    const plumbline = new Plumbline(page, site.address);
    await plumbline.drop(recordings.demo, recordings.cutOff, recordings.script);
    const rows = page.locator('.recordings tbody tr');
    await expect(rows.filter({ hasText: 'broke the reader' })).toHaveCount(1);
    const { start } = reportOf(recordings.demo).codes[0]!;
    await expect(rows.filter({ hasText: start })).toHaveCount(2);
  });
});
