// The place Make as a test meets it.

import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { expect, type Plumbline, test as base } from './site';

/** What a field's label says, and what shall stand in it. */
export type Typed = Record<string, string>;

/** Dialogues that always say yes, and give a file or the folder of the origin's own. */
const saveAtOnce = () => {
  Object.assign(globalThis, {
    showSaveFilePicker: async ({ suggestedName }: { suggestedName: string }) => {
      const folder = await navigator.storage.getDirectory();
      return folder.getFileHandle(suggestedName, { create: true });
    },
    showDirectoryPicker: () => navigator.storage.getDirectory(),
  });
};

const cannotSave = () => {
  Reflect.deleteProperty(globalThis, 'showSaveFilePicker');
  Reflect.deleteProperty(globalThis, 'showDirectoryPicker');
};

const sayNo = () => {
  const ask = async () => {
    throw new DOMException('Somebody thought better of it.', 'AbortError');
  };
  Object.assign(globalThis, { showSaveFilePicker: ask, showDirectoryPicker: ask });
};

/** How a browser lets a page save: straight to the disk, from its own store, from pieces in its
 * memory, or it says no when it is asked. */
export type Saving = 'to the disk' | 'from the page' | 'in pieces' | 'not after all';

export const WAYS: Record<Saving, () => void> = {
  'to the disk': saveAtOnce,
  'from the page': cannotSave,
  'in pieces': cannotSave,
  'not after all': sayNo,
};

/** Takes the browser's own store away from the maker's worker. */
async function withoutStore(page: Page): Promise<void> {
  await page.route('**/assets/maker-*.js', async (route) => {
    const response = await route.fetch();
    const body = `Object.defineProperty(navigator, 'storage', { value: undefined });\n`;
    await route.fulfill({ response, body: body + (await response.text()) });
  });
}

export class MakePlace {
  private readonly folder = mkdtempSync(join(tmpdir(), 'plumbline-make-'));

  constructor(
    readonly page: Page,
    readonly plumbline: Plumbline,
  ) {}

  /** Opens the place in a browser that saves in this way, with a fragment's settings. */
  async open(saving: Saving, fragment = '#make'): Promise<void> {
    await this.page.addInitScript(WAYS[saving]);
    if (saving === 'in pieces') await withoutStore(this.page);
    await this.go(fragment);
  }

  /** Loads the page anew at a fragment. */
  async go(fragment: string): Promise<void> {
    await this.page.goto('about:blank');
    await this.page.goto(this.plumbline.address + fragment);
    await expect(this.field('Frame rate')).toBeVisible();
  }

  field(label: string) {
    return this.page.getByLabel(label, { exact: true });
  }

  /** Fills fields in or chooses from them, those under “More” too. */
  async set(typed: Typed): Promise<void> {
    for (const [label, value] of Object.entries(typed)) {
      const field = this.field(label);
      if (!(await field.isVisible())) await this.unfold();
      const chosen = await field.evaluate((element) => element instanceof HTMLSelectElement);
      await (chosen ? field.selectOption({ label: value }) : field.fill(value));
    }
  }

  async unfold(): Promise<void> {
    await this.page.evaluate(() => {
      for (const details of document.querySelectorAll('details')) details.open = true;
    });
  }

  get main() {
    return this.page.locator('.to-file .actions button');
  }

  get job() {
    return this.page.locator('.job');
  }

  /** Makes the file of what is set, waits until it was read back, and gives where it is. */
  async make(): Promise<string> {
    await this.main.click();
    await expect(this.job).toContainText('codewords read back, all as asked');
    const link = this.page.getByRole('link', { name: 'Save it' });
    return (await link.count()) === 0 ? this.saved() : this.download();
  }

  private async download(): Promise<string> {
    const downloaded = this.page.waitForEvent('download');
    await this.page.getByRole('link', { name: 'Save it' }).click();
    const download = await downloaded;
    const path = join(this.folder, download.suggestedFilename());
    await download.saveAs(path);
    return path;
  }

  /** Carries the only file of the origin's own over to the disk. */
  private async saved(): Promise<string> {
    const [name] = await this.filesOfOrigin();
    const base64 = await this.page.evaluate(async (name) => {
      const folder = await navigator.storage.getDirectory();
      const file = await (await folder.getFileHandle(name)).getFile();
      const reader = new FileReader();
      const read = new Promise((done) => (reader.onload = done));
      reader.readAsDataURL(file);
      await read;
      return String(reader.result).split(',')[1]!;
    }, name!);
    const path = join(this.folder, name!);
    writeFileSync(path, Buffer.from(base64, 'base64'));
    return path;
  }

  /** The names of the files that the save dialogue has made. */
  async filesOfOrigin(): Promise<string[]> {
    return (await this.namesIn('')).filter((name) => name !== 'made');
  }

  /** How many files the browser's own store keeps for the page. */
  async kept(): Promise<number> {
    return (await this.namesIn('made')).length;
  }

  private namesIn(folder: string): Promise<string[]> {
    return this.page.evaluate(async (folder) => {
      const store = await navigator.storage.getDirectory();
      const here = folder === '' ? store : await store.getDirectoryHandle(folder, { create: true });
      const names: string[] = [];
      for await (const name of here.keys()) names.push(name);
      return names;
    }, folder);
  }

  /** What is said to be wrong with a field. */
  problem(label: string) {
    return this.page.locator('.field', { has: this.field(label) }).locator('.problem');
  }

  /** What a field's setting is said to mean. */
  note(label: string) {
    return this.page.locator('.field', { has: this.field(label) }).locator('.note');
  }

  end(): void {
    rmSync(this.folder, { recursive: true });
  }
}

export const test = base.extend<{ make: MakePlace }>({
  make: async ({ plumbline, page }, use) => {
    const make = new MakePlace(page, plumbline);
    await use(make);
    make.end();
  },
});

/** The samples of a made file, channel by channel, full scale being 1. */
export function samplesOf(path: string): number[][] {
  const { data, channels, bits, float } = parts(readFileSync(path));
  const width = bits / 8;
  const frames = data.length / (width * channels);
  return Array.from({ length: channels }, (_, channel) =>
    Array.from({ length: frames }, (_, frame) => {
      const at = (frame * channels + channel) * width;
      return float ? data.readFloatLE(at) : data.readIntLE(at, width) / 2 ** (bits - 1);
    }),
  );
}

/** The chunks `fmt ` and `data` of a WAV file, found by walking over all of them. */
function parts(bytes: Buffer) {
  const found = new Map<string, Buffer>();
  for (let at = 12; at + 8 <= bytes.length;) {
    const length = bytes.readUInt32LE(at + 4);
    found.set(bytes.toString('latin1', at, at + 4), bytes.subarray(at + 8, at + 8 + length));
    at += 8 + length + (length % 2);
  }
  const format = found.get('fmt ')!;
  const tag = format.readUInt16LE(0);
  return {
    data: found.get('data')!,
    channels: format.readUInt16LE(2),
    bits: format.readUInt16LE(14),
    // An extensible format has its tag in the sub-format.
    float: (tag === 0xfffe ? format.readUInt16LE(24) : tag) === 3,
  };
}
