import { problemInWords, text } from '../../text/en';
import { percent } from '../progress';
import { sentence } from './announcer';
import { current, type Phase, readingOf, type Sheet, sheets, show } from './sheets';

/** The recordings on the page, where there is more than one; choosing one shows its sheet. */
export function Recordings() {
  return (
    <section class="recordings" aria-labelledby="recordings">
      <h2 id="recordings">{text.read.recordings}</h2>
      <ol>
        {sheets.value.map((sheet) => (
          <Row key={sheet.id} sheet={sheet} />
        ))}
      </ol>
    </section>
  );
}

function Row({ sheet }: { sheet: Sheet }) {
  const phase = sheet.phase.value;
  const code = readingOf(phase)?.codes[0];
  return (
    <li>
      <button
        type="button"
        class="row"
        aria-current={sheet === current.value ? 'true' : undefined}
        onClick={() => show(sheet)}
      >
        <span class="row-name">{sheet.file.value?.name ?? text.read.makingDemo}</span>
        <span class="row-start">{code?.starts_at ?? ''}</span>
        <span class="row-state">{state(phase)}</span>
      </button>
    </li>
  );
}

function state(phase: Phase): string {
  switch (phase.is) {
    case 'waiting':
      return text.read.waiting;
    case 'reading':
      return `${percent(phase.progress)} %`;
    case 'failed':
      return problemInWords(phase.problem).verdict;
    case 'read':
      return sentence(phase.reading.verdict);
  }
}
