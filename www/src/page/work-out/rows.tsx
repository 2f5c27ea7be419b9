import type { RowsAnswer } from './sums';
import { workOut as words } from '../../text/en-work-out';
import { download } from '../download';
import { Copy } from './copied';

type Line = RowsAnswer['lines'][number];

/** How many lines are shown: more would keep the next key waiting; and of the bad ones
 * after them. */
const MOST_SHOWN = 300;
const MOST_BAD = 1000;

/** Every line of the list, checked, and the list as a table for other programs. */
export function CheckedRows({ answer }: { answer: RowsAnswer }) {
  if (answer.lines.length === 0) return null;
  const shown = linesToShow(answer.lines);
  const hidden = answer.lines.length - shown.length;
  return (
    <section class="sums">
      <h2>{words.rows}</h2>
      <div class="wide" role="region" aria-label={words.rows} tabIndex={0}>
        <table>
          <thead>
            <tr>
              {words.columns.map((column) => (
                <th key={column} scope="col">
                  {column}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {shown.map((line) => (
              <Row key={line.number} line={line} />
            ))}
          </tbody>
        </table>
      </div>
      {hidden > 0 && <p class="sum-rounded">{words.linesHidden(hidden)}</p>}
      <div class="actions">
        <Copy what={words.csv} value={answer.csv} />
        <button type="button" onClick={() => download(words.csvName, 'text/csv', answer.csv)}>
          {words.csv}
        </button>
      </div>
    </section>
  );
}

function linesToShow(lines: readonly Line[]): Line[] {
  const bad = lines.slice(MOST_SHOWN).filter(({ state }) => state === 'bad');
  return [...lines.slice(0, MOST_SHOWN), ...bad.slice(0, MOST_BAD)];
}

function Row({ line }: { line: Line }) {
  const said = [line.follows, line.text, line.remedy].filter((text) => text !== '').join(' ');
  return (
    <tr class={line.state === 'bad' ? 'bad' : undefined}>
      <td>{line.number}</td>
      <td>{line.label}</td>
      <td>{line.in_point}</td>
      <td>{line.out_point}</td>
      <td>{line.duration}</td>
      <td>{line.running_total}</td>
      <td>
        {line.state === 'bad' && <strong>{words.notRight}</strong>} {said}
      </td>
    </tr>
  );
}
