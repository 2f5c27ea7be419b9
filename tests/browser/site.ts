// The page as a test meets it: built, served from a sub-path, in a browser of its own.

import { test as base, expect, type Page } from '@playwright/test';
import { readFileSync } from 'node:fs';
import type { Server } from 'node:http';
import { join } from 'node:path';
import { serve } from '../../scripts/static-server.mjs';
import { ROOT } from './recordings';

export { expect };

export const DIST = join(ROOT, 'www', 'dist');

export type Site = {
  server: Server;
  /** Where the page is served. */
  address: string;
};

type Fixtures = {
  /** The page, opened at its first visit. */
  plumbline: Plumbline;
};

export const test = base.extend<Fixtures, { site: Site }>({
  site: [
    async ({}, use) => {
      const site = await serve(DIST, { subPath: '/tools/plumbline/' });
      await use(site);
      site.server.close();
    },
    { scope: 'worker' },
  ],
  plumbline: async ({ page, site }, use) => {
    const plumbline = new Plumbline(page, site.address);
    await plumbline.open();
    await use(plumbline);
    expect(plumbline.errors, 'errors in the page').toEqual([]);
  },
});

/** What a person does on the page, and what they see. */
export class Plumbline {
  readonly errors: string[] = [];

  constructor(
    readonly page: Page,
    readonly address: string,
  ) {
    page.on('pageerror', (error) => this.errors.push(error.message));
    page.on('console', (message) => {
      if (message.type() === 'error') this.errors.push(message.text());
    });
  }

  async open(): Promise<void> {
    await this.page.goto(this.address);
    await expect(this.button('Choose recordings')).toBeVisible();
  }

  button(name: string) {
    return this.page.getByRole('button', { name, exact: true });
  }

  /** Chooses files with the file chooser that a button opens. */
  async choose(button: string, ...paths: string[]): Promise<void> {
    const chooser = this.page.waitForEvent('filechooser');
    await this.button(button).click();
    await (await chooser).setFiles(paths);
  }

  /** Drops files on the page, as from the desktop. */
  async drop(...paths: string[]): Promise<void> {
    const input = await this.page.evaluateHandle(() => {
      const element = document.body.appendChild(document.createElement('input'));
      element.type = 'file';
      element.multiple = true;
      return element;
    });
    await input.asElement()!.setInputFiles(paths);
    await input.evaluate((element) => {
      const dataTransfer = new DataTransfer();
      for (const file of element.files ?? []) dataTransfer.items.add(file);
      element.remove();
      for (const kind of ['dragover', 'drop']) {
        document.body.dispatchEvent(
          new DragEvent(kind, {
            dataTransfer,
            bubbles: true,
            cancelable: true,
          }),
        );
      }
    });
  }

  async demo(): Promise<void> {
    await this.button('Make a demo recording').click();
    await this.isRead();
  }

  /** Waits until the sheet that is shown has been read. */
  async isRead(): Promise<void> {
    await expect(this.button('Report (JSON)')).toBeVisible();
  }

  /** A recording among all, in their table. */
  row(name: string) {
    return this.page.locator('.recordings tbody tr').filter({ hasText: name });
  }

  /** Opens the sheet of a recording among all. */
  async openSheet(name: string): Promise<void> {
    await this.row(name).getByRole('button', { name, exact: true }).click();
  }

  get verdict() {
    return this.page.getByRole('heading', { level: 1 });
  }

  get addresses() {
    return this.page.locator('.addresses dd');
  }

  get findings() {
    return this.page.locator('.findings li');
  }

  get codewordAddress() {
    return this.page.locator('.codeword-address');
  }

  /** The report that a button hands out. */
  async download(button: string): Promise<{ name: string; content: string }> {
    const downloaded = this.page.waitForEvent('download');
    await this.button(button).click();
    const download = await downloaded;
    return {
      name: download.suggestedFilename(),
      content: readFileSync(await download.path(), 'utf8'),
    };
  }

  /** How many pixels the page is wider than its window. */
  overflow(): Promise<number> {
    return this.page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  }
}
