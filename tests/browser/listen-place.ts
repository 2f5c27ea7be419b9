// The place Listen as a test meets it, with a file for a microphone.

import { launchOptions } from './chromium.mjs';
import { expect, Plumbline, test as base } from './site';

type Fixtures = {
  /** The file that the browser takes for its microphone. */
  cable: string;
  place: ListenPlace;
};

export const test = base.extend<Fixtures>({
  cable: ['', { option: true }],
  place: async ({ cable, playwright, site }, use) => {
    const browser = await playwright.chromium.launch({
      ...launchOptions,
      args: [
        ...launchOptions.args,
        '--use-fake-ui-for-media-stream',
        '--use-fake-device-for-media-stream',
        `--use-file-for-fake-audio-capture=${cable}`,
      ],
    });
    const plumbline = new Plumbline(await browser.newPage(), site.address);
    const place = new ListenPlace(plumbline);
    await place.open();
    await use(place);
    expect(plumbline.errors, 'errors in the page').toEqual([]);
    await browser.close();
  },
});

/** The digits of the page at a moment of its own clock. */
export type Shown = { address: string; at: number };

export class ListenPlace {
  constructor(readonly plumbline: Plumbline) {}

  get page() {
    return this.plumbline.page;
  }

  button(name: string) {
    return this.plumbline.button(name);
  }

  async open(): Promise<void> {
    await this.plumbline.open();
    await this.page.getByRole('link', { name: 'Listen', exact: true }).click();
  }

  async listen(): Promise<void> {
    await this.plumbline.button('Listen').click();
  }

  get verdict() {
    return this.page.getByRole('heading', { level: 1 });
  }

  /** The address of the channel with that number, or of the only one. */
  digits(channel = 1) {
    return this.page
      .locator('.heard')
      .nth(channel - 1)
      .locator('.digits');
  }

  get held() {
    return this.page.locator('.held');
  }

  get marks() {
    return this.page.locator('.marks li');
  }

  fact(label: string) {
    return this.page.locator('.heard .facts div', { hasText: label }).locator('dd').first();
  }

  /** Every change of the digits within so many seconds. */
  async watch(selector: string, seconds: number): Promise<Shown[]> {
    return this.page.evaluate(
      async ({ selector, seconds }) => {
        const shown: { address: string; at: number }[] = [];
        const element = document.querySelector(selector)!;
        const observer = new MutationObserver(() =>
          shown.push({
            address: element.textContent ?? '',
            at: performance.now(),
          }),
        );
        observer.observe(element, {
          childList: true,
          characterData: true,
          subtree: true,
        });
        await new Promise((done) => setTimeout(done, seconds * 1000));
        observer.disconnect();
        return shown;
      },
      { selector, seconds },
    );
  }
}

/** Frames since midnight of an address at 25 frames a second (IEC 60461 clause 4.2.3). */
export function frames25(address: string): number {
  const [h, m, s, f] = address.split(':').map(Number) as [number, number, number, number];
  return ((h * 60 + m) * 60 + s) * 25 + f;
}
