// Pictures of the page, and all that can be checked of one.

import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { ROOT } from './recordings';
import { expect, type Plumbline } from './site';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core'), 'utf8');
export const SCREENS = join(ROOT, 'tests', '.cache', 'screens');

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

/** Buttons, fields, links and sliders that are too small for a thumb. */
function tooSmall(page: Page): Promise<string[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('main button, main [role=slider], nav a')]
      .filter((element) => element.offsetWidth < 44 || element.offsetHeight < 44)
      .map(({ outerHTML }) => outerHTML.slice(0, 120)),
  );
}

export type Looks = { width: number; colorScheme: 'light' | 'dark' };

/** A picture of the page, and all that can be checked of one. */
export async function look(plumbline: Plumbline, name: string, looks: Looks): Promise<void> {
  const { page } = plumbline;
  const { width, colorScheme } = looks;
  await page.mouse.move(0, 0);
  await page.screenshot({
    path: join(SCREENS, `${name}-${width}-${colorScheme}.png`),
    fullPage: true,
  });
  expect(await plumbline.overflow(), name).toBeLessThanOrEqual(0);
  expect(await objections(page), name).toEqual([]);
  if (width < 500) expect(await tooSmall(page), name).toEqual([]);
}
