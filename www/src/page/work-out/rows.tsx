import type { RowsAnswer } from './sums';
import { workOut as words } from '../../text/en-work-out';
import { download } from '../download';
import { Copy } from './copied';

type Line = RowsAnswer['lines'][number];

/** Every line of the list, checked, and the list as a table for other programs. */
export function CheckedRows({ answer }: { answer: RowsAnswer }) {
  if (answer.lines.length === 0) return null;
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
            {answer.lines.map((line) => (
              <Row key={line.number} line={line} />
            ))}
          </tbody>
        </table>
      </div>
      <div class="actions">
        <Copy what={words.csv} value={answer.csv} />
        <button type="button" onClick={() => download(words.csvName, 'text/csv', answer.csv)}>
          {words.csv}
        </button>
      </div>
    </section>
  );
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
