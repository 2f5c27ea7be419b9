import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { MakePlace } from './make-place';
import { recordings } from './recordings';
import { expect, Plumbline, test } from './site';

test('no request leaves for anywhere but the page’s own files', async ({ page, site, context }) => {
  const addresses: string[] = [];
  context.on('request', (request) => addresses.push(request.url()));
  const plumbline = new Plumbline(page, site.address);
  await plumbline.open();
  await plumbline.drop(recordings.demo);
  await plumbline.isRead();
  await plumbline.download('Report (JSON)');
  const make = new MakePlace(page, plumbline);
  await make.open('from the page', '#make?length=00:00:01:00');
  await make.make();
  await page.getByRole('button', { name: 'Copy the link' }).click();
  make.end();
  expect(addresses.length).toBeGreaterThan(5);
  const ours = new URL(site.address).origin;
  expect(addresses.filter((address) => !address.replace('blob:', '').startsWith(ours))).toEqual([]);
});

test.describe('the policy', () => {
  let elsewhere: Server;
  let visits = 0;
  let address = '';

  test.beforeAll(async () => {
    elsewhere = createServer((_request, response) => {
      visits += 1;
      response.writeHead(200, { 'access-control-allow-origin': '*' }).end('here');
    });
    await new Promise<void>((done) => elsewhere.listen(0, '127.0.0.1', done));
    address = `http://127.0.0.1:${(elsewhere.address() as AddressInfo).port}/`;
  });

  test.afterAll(() => void elsewhere.close());

  const attempt = (to: string) =>
    fetch(to).then(
      () => 'connected',
      () => 'refused',
    );

  test('allows the page no connection to anywhere else', async ({ page, site }) => {
    await page.goto(site.address);
    const policy = page.locator('meta[http-equiv="Content-Security-Policy"]');
    const content = await policy.getAttribute('content');
    expect(content).toContain("default-src 'none'");
    expect(content).toContain("connect-src 'self'");
    expect(content).not.toContain('unsafe-inline');
    expect(await page.evaluate(attempt, address)).toBe('refused');
    expect(visits).toBe(0);
  });

  test('holds for the workers too, once the service worker serves it', async ({ page, site }) => {
    await page.goto(site.address);
    await page.evaluate(async () => {
      await navigator.serviceWorker.ready;
      while (navigator.serviceWorker.controller === null) {
        await new Promise((done) => setTimeout(done, 20));
      }
    });
    await page.reload();
    const started = page.waitForEvent('worker');
    await page.getByRole('button', { name: 'Make a demo recording' }).click();
    const worker = await started;
    await expect(page.getByRole('button', { name: 'Report (JSON)' })).toBeVisible();
    expect(await worker.evaluate(attempt, address)).toBe('refused');
    const second = page.waitForEvent('worker');
    await page.getByRole('link', { name: 'Make' }).click();
    expect(await (await second).evaluate(attempt, address)).toBe('refused');
    expect(visits).toBe(0);
  });
});
