import { useRef } from 'preact/hooks';
import type { Reading } from '../../protocol/messages';
import { problemInWords, text } from '../../text/en';
import { percent } from '../progress';
import { current, nameOf, type Phase, type Sheet } from './sheets';
import { shootVerdict } from './shoot/shoot';

/** Says aloud, for those who hear the page, how far the reading is and what came of it. */
export function Announcer() {
  const sheet = current.value;
  const said = useRef('');
  said.current = sheet === undefined ? shootVerdict() : announcement(sheet, sheet.phase.value);
  return (
    <p class="visually-hidden" role="status">
      {said.current}
    </p>
  );
}

function announcement(sheet: Sheet, phase: Phase): string {
  switch (phase.is) {
    case 'waiting':
    case 'aside':
    case 'known':
      return '';
    case 'reading': {
      const name = nameOf(sheet);
      if (name === undefined) return text.read.makingDemo;
      const quarter = Math.floor(percent(phase.progress) / 25) * 25;
      return quarter === 0 ? text.read.reading(name) : `${quarter} %`;
    }
    case 'failed':
      return problemInWords(phase.problem).verdict;
    case 'read':
      return sentence(phase.reading.verdict);
  }
}

/** A verdict as plain words. */
export function sentence({ before, mark, after }: Reading['verdict']): string {
  return before + mark + after;
}
