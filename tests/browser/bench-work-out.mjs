// Types into the parts of Work out in headless Chromium and prints how long an answer takes, from
// the key press to the changed page, and whether a frame of the screen went by meanwhile.
//
//   node bench-work-out.mjs

import { Bench, middle } from './bench-browser.mjs';

const ROUNDS = 5;

const rows = Array.from({ length: 400 }, (_, at) => {
  const minute = String(at % 60).padStart(2, '0');
  const hour = String(10 + Math.floor(at / 60)).padStart(2, '0');
  return `Row ${at}\t${hour}:${minute}:00:00\t${hour}:${minute}:30:12`;
});
const lines = Array.from({ length: 400 }, (_, at) => `10:00:00:00 + ${at} frames as 29.97 drop`);

const SHEETS = [
  ['an address', { part: 'address', text: '' }, 'text', '12:34:56:12'],
  [
    'a worksheet of one line',
    { part: 'worksheet', text: '' },
    'text',
    '10:00:00:00 + 90 s in frames',
  ],
  [
    'a worksheet of 400 lines',
    { part: 'worksheet', text: `${lines.join('\n')}\n` },
    'text',
    '90 s',
  ],
  ['a list of one row', { part: 'rows', text: '' }, 'text', '10:00:00:00 10:00:10:12'],
  ['a list of 400 rows', { part: 'rows', text: `${rows.join('\n')}\n` }, 'text', '00:00:12:13'],
  ['clocks', { part: 'clocks', drift: '' }, 'drift', '12.345'],
  ['speeds', { part: 'speeds', duration: '' }, 'duration', '01:23:45:12'],
  [
    'user bits',
    { part: 'user_bits', user_bits_are: 'characters', characters: '' },
    'characters',
    'CAM2',
  ],
];

const bench = await Bench.start();
try {
  for (const sheet of SHEETS) {
    const { answers } = await bench.inNewBrowser('sums', (page) => typed(page, ...sheet));
    tell(sheet[0], answers);
  }
} finally {
  bench.end();
}

function tell(name, answers) {
  const times = answers.map(({ milliseconds }) => milliseconds);
  const within = answers.filter(({ frames }) => frames <= 1).length;
  console.log(
    `${name}: ${answers.length} keys, middle ${middle(times).toFixed(1)} ms, ` +
      `longest ${Math.max(...times).toFixed(1)} ms; ` +
      `within one frame of the screen: ${within} of ${answers.length}`,
  );
}

async function typed(page, _, fields, field, text) {
  const all = [];
  for (let round = 0; round < ROUNDS; round += 1) {
    await page.goto('about:blank');
    await page.goto(`${bench.address}#work-out?${new URLSearchParams(fields)}`);
    const input = page.locator(`#${fields.part}-${field}`);
    await input.waitFor();
    await input.focus();
    await page.keyboard.press('ControlOrMeta+End');
    await page.waitForTimeout(600);
    await page.evaluate(watch);
    for (const key of text) {
      const answered = await page.evaluate(() => globalThis.plumblineBench.length);
      await page.keyboard.type(key);
      // A key that changes nothing on the page (the space after a word) gives no answer to wait for.
      await page
        .waitForFunction((n) => globalThis.plumblineBench.length > n, answered, { timeout: 300 })
        .catch(() => undefined);
    }
    all.push(...(await page.evaluate(() => globalThis.plumblineBench)));
  }
  return all;
}

/** Notes, in the page, the time and the frames from a key press to the first change of an answer. */
function watch() {
  const seen = (globalThis.plumblineBench = []);
  let pressed;
  let frames = 0;
  const count = () => {
    frames += 1;
    requestAnimationFrame(count);
  };
  requestAnimationFrame(count);
  addEventListener('keydown', ({ timeStamp }) => (pressed = { timeStamp, frames }), true);
  const changed = (changes) => {
    if (pressed === undefined || changes.every(isSpoken)) return;
    seen.push({
      milliseconds: performance.now() - pressed.timeStamp,
      frames: frames - pressed.frames,
    });
    pressed = undefined;
  };
  // What is read aloud changes only after a pause; a line of the worksheet repeats what was typed.
  const isSpoken = ({ target }) =>
    (target.closest === undefined ? target.parentElement : target).closest(
      '[role=status], .line-typed',
    ) !== null;
  new MutationObserver(changed).observe(document.querySelector('.work-out'), {
    subtree: true,
    childList: true,
    characterData: true,
  });
}
