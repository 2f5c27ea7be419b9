import { useEffect } from 'preact/hooks';
import type { Answered, Part } from './sums';
import { PARTS, workOut as words } from '../../text/en-work-out';
import { Share } from '../share';
import { Aloud } from '../aloud';
import { Trouble } from '../trouble';
import { Form } from './form';
import { Keypad } from './keypad';
import { CheckedRows } from './rows';
import { answered, begin, clear, link, show, state, trouble } from './state';
import { Tables } from './tables';
import { Lines } from './worksheet';

/** The place Work out. */
export function WorkOut() {
  useEffect(() => void begin(), []);
  const part = state.value?.part;
  const verdict = answered.value?.answer.verdict ?? '';
  return (
    <div class="paper">
      <article class="sheet work-out">
        <Parts shown={part} />
        <h1 class="verdict">{verdict || words.waiting}</h1>
        <Aloud said={verdict} />
        {trouble.value !== undefined && <Broken detail={trouble.value} />}
        {part !== undefined && (
          <>
            <Form key={part} part={part} />
            <Keypad />
            {answered.value !== undefined && <Worked answered={answered.value} />}
            <Share link={link} clear={clear} />
          </>
        )}
      </article>
    </div>
  );
}

function Parts({ shown }: { shown: Part | undefined }) {
  return (
    <nav class="parts" aria-label={words.parts}>
      {(Object.keys(PARTS) as Part[]).map((part) => (
        <button
          key={part}
          type="button"
          aria-current={part === shown ? 'true' : undefined}
          onClick={() => show(part)}
        >
          {PARTS[part]}
        </button>
      ))}
    </nav>
  );
}

function Worked({ answered: now }: { answered: Answered }) {
  if (now.part === 'worksheet') {
    return <Lines worked={now.answer} typed={state.value?.forms.worksheet.text ?? ''} />;
  }
  return (
    <>
      {now.part === 'rows' && <CheckedRows answer={now.answer} />}
      <Tables tables={now.answer.tables} />
    </>
  );
}

function Broken({ detail }: { detail: string }) {
  return (
    <>
      <Trouble text={words.broken(detail)} remedy={words.brokenRemedy} />
      <button type="button" class="main" onClick={() => location.reload()}>
        {words.again}
      </button>
    </>
  );
}
