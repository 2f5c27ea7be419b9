import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { recordings, ROOT } from './recordings';
import { expect, Plumbline, test } from './site';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core'), 'utf8');
const SCREENS = join(ROOT, 'tests', '.cache', 'screens');

type Violation = { id: string; help: string; nodes: { target: string[] }[] };

/** What an accessibility checker objects to, at the levels A and AA of WCAG up to 2.2. */
async function objections(page: Page): Promise<string[]> {
  await page.evaluate(AXE);
  const violations = await page.evaluate(async () => {
    const { axe } = globalThis as unknown as {
      axe: { run: (options: object) => Promise<{ violations: Violation[] }> };
    };
    const values = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
    return (await axe.run({ runOnly: { type: 'tag', values } })).violations;
  });
  return violations.flatMap(({ id, help, nodes }) =>
    nodes.map(({ target }) => `${id}: ${help} (${target.join(' ')})`),
  );
}

/** Buttons, links and sliders that are too small for a thumb. */
function tooSmall(page: Page): Promise<string[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('main button, main [role=slider], nav a')]
      .filter((element) => element.offsetWidth < 44 || element.offsetHeight < 44)
      .map(({ outerHTML }) => outerHTML.slice(0, 120)),
  );
}

for (const width of [390, 1440]) {
  for (const colorScheme of ['light', 'dark'] as const) {
    test(`${width} px, ${colorScheme}: legible, within its width, nothing in the way`, async ({
      browser,
      site,
    }) => {
      const page = await browser.newPage({
        viewport: { width, height: 900 },
        colorScheme,
      });
      const plumbline = new Plumbline(page, site.address);
      const look = async (name: string) => {
        await page.mouse.move(0, 0);
        await page.screenshot({
          path: join(SCREENS, `${name}-${width}-${colorScheme}.png`),
          fullPage: true,
        });
        expect(await plumbline.overflow(), name).toBeLessThanOrEqual(0);
        expect(await objections(page), name).toEqual([]);
        if (width < 500) expect(await tooSmall(page), name).toEqual([]);
      };
      await plumbline.open();
      await look('empty');
      await plumbline.demo();
      await look('demo');
      await plumbline.button('Show the first codeword').click();
      await expect(plumbline.codewordAddress).toBeVisible();
      await look('bits');
      await plumbline.drop(recordings.text, recordings.cutOff, recordings.script);
      await expect(page.locator('.recordings li').last()).toContainText('Code');
      await look('several');
      await page.close();
    });
  }
}

test('no width from a small phone to a wide screen scrolls sideways', async ({ plumbline }) => {
  await plumbline.demo();
  for (const width of [320, 360, 390, 600, 760, 900, 1100, 1280, 1920]) {
    await plumbline.page.setViewportSize({ width, height: 900 });
    await expect
      .poll(() => plumbline.overflow(), { message: `${width} px` })
      .toBeLessThanOrEqual(0);
    const svg = plumbline.page.locator('.drawing svg').first();
    await expect
      .poll(async () => (await svg.boundingBox())?.width ?? 0, {
        message: `${width} px`,
      })
      .toBeGreaterThan(Math.min(width, 1240) * 0.85);
  }
});

test('the sheet prints without buttons', async ({ plumbline }) => {
  await plumbline.demo();
  await plumbline.page.emulateMedia({ media: 'print' });
  await expect(plumbline.button('Print')).toBeHidden();
  await expect(plumbline.addresses.first()).toBeVisible();
  await plumbline.page.pdf({ path: join(SCREENS, 'sheet.pdf'), format: 'A4' });
});
