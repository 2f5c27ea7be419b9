import type { Topic, Worked } from './sums';
import { workOut as words } from '../../text/en-work-out';
import { Copy } from './copied';
import { change, help } from './state';

type Line = Worked['lines'][number];

/** What each line of the sheet comes to, the total, and the syntax. */
export function Lines({ worked, typed }: { worked: Worked; typed: string }) {
  const texts = typed.split('\n');
  const lines = worked.lines
    .map((line, at) => ({ line, at, text: texts[at] ?? '' }))
    .filter(({ line }) => line.kind !== 'nothing');
  const { total } = worked;
  return (
    <section class="sums">
      <h2>{words.lines}</h2>
      <ol class="lines">
        {lines.map(({ line, at, text }) => (
          <li key={at} class="sum">
            <p class="line-typed">
              <span class="line-number">{at + 1}</span> <Typed line={line} text={text} />
            </p>
            {line.fault ? <Fault fault={line.fault} /> : <Result line={line} />}
          </li>
        ))}
      </ol>
      {total.value !== '' && (
        <div class="total">
          <p class="sum-value">
            <strong>{words.total}</strong> <span>{total.value}</span>
            <Copy what={words.total} value={total.value} />
          </p>
          <p class="sum-how">{total.how}</p>
          {total.rounded && <p class="sum-rounded">{total.rounded}</p>}
          <p class="sum-how">{total.words}</p>
        </div>
      )}
      <Help topics={help.value} />
    </section>
  );
}

/** The line as it was typed, with what is wrong in it underlined. */
function Typed({ line: { fault }, text }: { line: Line; text: string }) {
  if (!fault) return <code>{text}</code>;
  const { start, end } = fault.span;
  return (
    <code>
      {text.slice(0, start)}
      <mark>{start === end ? '‸' : text.slice(start, end)}</mark>
      {text.slice(end)}
    </code>
  );
}

function Fault({ fault }: { fault: NonNullable<Line['fault']> }) {
  return (
    <p class="problem">
      <strong>{words.notRight}</strong> {fault.text} {fault.remedy}
    </p>
  );
}

function Result({ line }: { line: Line }) {
  return (
    <div>
      <p class="sum-value">
        <span>{line.value}</span> {line.at !== '' && <small>{line.at}</small>}
        <Copy what={line.value} value={line.value} />
      </p>
      {line.how !== '' && <p class="sum-how">{line.how}</p>}
      {line.rounded && <p class="sum-rounded">{line.rounded}</p>}
      {line.cautions.map((caution) => (
        <p key={caution} class="sum-rounded">
          {caution}
        </p>
      ))}
      {line.total !== '' && (
        <p class="sum-how">
          {words.totalSoFar} {line.total}
        </p>
      )}
    </div>
  );
}

function Help({ topics }: { topics: readonly Topic[] }) {
  return (
    <details class="more">
      <summary>{words.syntax}</summary>
      {topics.map(({ title, text, examples }) => (
        <section key={title} class="topic">
          <h3>{title}</h3>
          <p>{text}</p>
          <ul>
            {examples.map(({ typed, gives }) => (
              <li key={typed}>
                <code>{typed}</code> <span>{gives}</span>
                <button type="button" class="copy" onClick={() => change('text', typed)}>
                  {words.tryIt}
                </button>
              </li>
            ))}
          </ul>
        </section>
      ))}
    </details>
  );
}
