// The page of measured figures, docs/speed/measured.md: each benchmark remakes its own part.

import { cpus } from 'node:os';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { ROOT } from './bench-browser.mjs';

const PAGE = join(ROOT, 'docs', 'speed', 'measured.md');

/** Puts a table into the part of the page that has this name. */
export function publish(part, columns, rows) {
  const begin = `<!-- ${part}: written by scripts/bench -->\n`;
  const end = `<!-- ${part} end -->`;
  const [before, rest] = cut(readFileSync(PAGE, 'utf8'), begin);
  const [, after] = cut(rest, end);
  const line = (cells) => `| ${cells.join(' | ')} |\n`;
  const rule = `|---|${'--:|'.repeat(columns.length - 1)}\n`;
  const table = line(columns) + rule + rows.map(line).join('');
  writeFileSync(PAGE, `${before}${begin}\n${machine()}\n\n${table}\n${end}${after}`);
}

function cut(text, at) {
  const index = text.indexOf(at);
  if (index < 0) throw new Error(`${PAGE} has no ${at}`);
  return [text.slice(0, index), text.slice(index + at.length)];
}

/** What it was measured on, as far as the machine says. */
function machine() {
  const [load] = readFileSync('/proc/loadavg', 'utf8').split(' ');
  const all = cpus();
  return `${all.length} cores (${all[0].model.trim()}); load when the table was written: ${load}.`;
}
