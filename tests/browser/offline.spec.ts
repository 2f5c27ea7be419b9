import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { serve } from '../../scripts/static-server.mjs';
import { MakePlace } from './make-place';
import { recordings, reportOf } from './recordings';
import { DIST, expect, Plumbline, test } from './site';

/** Waits until the service worker has everything and serves the page. */
async function kept(page: Page): Promise<void> {
  await expect(page.getByText('It works without a connection.')).toBeVisible();
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
}

test('after the first visit the page opens and reads without a connection', async ({
  plumbline,
  context,
}) => {
  const { page } = plumbline;
  await kept(page);
  await context.setOffline(true);
  await page.reload();
  await plumbline.drop(recordings.demo);
  await plumbline.isRead();
  await expect(plumbline.addresses.first()).toBeVisible();
  const fonts = await page.evaluate(async () => {
    await document.fonts.ready;
    return [...document.fonts].filter(({ status }) => status === 'loaded').length;
  });
  expect(fonts).toBe(2);
});

test('a tone is made without a connection', async ({ plumbline, page, context }) => {
  await kept(page);
  await context.setOffline(true);
  const make = new MakePlace(page, plumbline);
  await make.open('from the page', '#make?rate=24&length=00:00:02:00');
  const path = await make.make();
  expect(reportOf(path).codes[0]).toMatchObject({ rate: '24', start: '10:00:00:00' });
  make.end();
});

test('caches of others on the same origin are left alone', async ({ plumbline }) => {
  const { page } = plumbline;
  await kept(page);
  const names = await page.evaluate(async () => {
    await caches.open('somebody else’s');
    const registration = await navigator.serviceWorker.ready;
    await registration.unregister();
    return caches.keys();
  });
  expect(names).toHaveLength(2);
  await page.reload();
  await kept(page);
  expect(await page.evaluate(() => caches.keys())).toEqual(names);
});

test('a new version says that it is there, waits to be asked, and then takes over', async ({
  page,
}) => {
  const folder = mkdtempSync(join(tmpdir(), 'plumbline-'));
  cpSync(DIST, folder, { recursive: true });
  const { server, address } = await serve(folder);
  try {
    await new Plumbline(page, address).open();
    await kept(page);
    const worker = join(folder, 'sw.js');
    writeFileSync(worker, readFileSync(worker, 'utf8').replace(/"[0-9a-f]{12}"/, '"0123456789ab"'));
    await page.reload();
    await expect(page.getByText('A new version is ready.')).toBeVisible();
    const reloaded = page.waitForEvent('load');
    await page.getByRole('button', { name: 'Load it now' }).click();
    await reloaded;
    await kept(page);
    const names = await page.evaluate(() => caches.keys());
    expect(names).toEqual([expect.stringContaining('0123456789ab')]);
  } finally {
    server.close();
    rmSync(folder, { recursive: true });
  }
});

test('the page can be installed', async ({ page, site }) => {
  await page.goto(site.address);
  const session = await page.context().newCDPSession(page);
  const { errors } = await session.send('Page.getAppManifest');
  expect(errors).toEqual([]);
  const { installabilityErrors } = await session.send('Page.getInstallabilityErrors');
  // A private window is what tests run in.
  expect(
    installabilityErrors.map(({ errorId }) => errorId).filter((id) => id !== 'in-incognito'),
  ).toEqual([]);
});

test('it is served from the root as well', async ({ page }) => {
  const { server, address } = await serve(DIST);
  const plumbline = new Plumbline(page, address);
  await plumbline.open();
  await plumbline.demo();
  server.close();
  expect(plumbline.errors).toEqual([]);
});
