import { useEffect } from 'preact/hooks';
import { listen as words } from '../../text/en-listen';
import {
  bringBack,
  clearedMarks,
  clearMarks,
  editMark,
  handOverTable,
  handOverTimeline,
  type Mark,
  markBySpace,
  marks,
  marksNotKept,
  type Noted,
  recallMarks,
  removeMark,
} from './marks';

const NOTED: readonly Noted[] = ['word', 'scene', 'take'];

/** The moments that were noted. */
export function Marks() {
  useEffect(() => {
    void recallMarks();
    return markBySpace();
  }, []);
  const all = marks.value;
  const cleared = clearedMarks.value.length > 0;
  if (all.length === 0 && !cleared) return null;
  return (
    <section class="marks" aria-labelledby="marks-title">
      <h2 id="marks-title">{words.marksTitle}</h2>
      <p class="explanation">{words.marksExplanation}</p>
      {marksNotKept.value !== undefined && (
        <p class="problem">
          <strong>{words.notRight}</strong> {words.marksNotKept(marksNotKept.value)}
        </p>
      )}
      <ol aria-labelledby="marks-title">
        {all.map((mark) => (
          <MarkLine key={mark.number} mark={mark} />
        ))}
      </ol>
      <div class="actions">
        {all.length > 0 && (
          <>
            <button type="button" onClick={() => void handOverTable()}>
              {words.marksTable}
            </button>
            <button type="button" onClick={() => void handOverTimeline()}>
              {words.marksTimeline}
            </button>
            <button type="button" onClick={clearMarks}>
              {words.clearMarks}
            </button>
          </>
        )}
        {cleared && (
          <button type="button" onClick={bringBack}>
            {words.bringBack}
          </button>
        )}
      </div>
    </section>
  );
}

function MarkLine({ mark }: { mark: Mark }) {
  const { number, address, heard, made } = mark;
  return (
    <li>
      <p>
        <span class="mark-address">{address}</span>{' '}
        <span class="hint">
          {heard}, {made}
        </span>
      </p>
      <div class="mark-fields">
        {NOTED.map((field) => (
          <div key={field} class={`field field-${field}`}>
            <label for={`mark-${number}-${field}`}>{words[field]}</label>
            <input
              id={`mark-${number}-${field}`}
              type="text"
              value={mark[field]}
              onInput={(event) => editMark(number, field, event.currentTarget.value)}
            />
          </div>
        ))}
        <button
          type="button"
          aria-label={words.removeMark(address)}
          onClick={() => removeMark(number)}
        >
          {words.remove}
        </button>
      </div>
    </li>
  );
}
