import { signal } from '@preact/signals';
import type { Shoot } from '../../../protocol/messages';
import { problemInWords, text } from '../../../text/en';
import { sentence } from '../announcer';
import { percent } from '../../progress';
import { nameOf, type Phase, readingOf, type Sheet, sheets, show } from '../sheets';
import { goToFinding } from '../findings';
import { keyOf, shoot } from './clock';
import { ChangeRow } from './change';

type Row = Shoot['recordings'][number];

/** A recording on the page, with its place on the clock where it has been read. */
type Line = { sheet: Sheet; row: Row | undefined };

type Column = 'name' | 'device' | 'start' | 'length' | 'findings';
type Order = { by: Column; direction: 'ascending' | 'descending' };

const COLUMNS: readonly { column: Column; title: string }[] = [
  { column: 'name', title: text.shoot.recording },
  { column: 'device', title: text.shoot.device },
  { column: 'start', title: text.shoot.startsAt },
  { column: 'length', title: text.shoot.length },
  { column: 'findings', title: text.shoot.findings },
];

const order = signal<Order>({ by: 'start', direction: 'ascending' });
/** The recording that is being changed by hand. */
const changing = signal<number | undefined>(undefined);

/** All recordings: where each begins, what says so, what is wrong. It fills as answers come. */
export function RecordingsTable() {
  const rows = new Map(shoot.value?.recordings.map((row) => [row.key, row]));
  const lines = sheets.value.map((sheet): Line => ({ sheet, row: rows.get(keyOf(sheet)) }));
  return (
    <section class="recordings">
      <h2 id="recordings">{text.read.recordings}</h2>
      <table aria-labelledby="recordings">
        <thead>
          <tr>
            {COLUMNS.map(({ column, title }) => (
              <Heading key={column} column={column} title={title} />
            ))}
            <th>
              <span class="visually-hidden">{text.shoot.change}</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {sorted(lines, order.value).map(({ sheet, row }) => (
            <RecordingRow key={sheet.id} sheet={sheet} row={row} />
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Heading({ column, title }: { column: Column; title: string }) {
  const { by, direction } = order.value;
  const here = by === column;
  const turn = () => {
    const turned = here && direction === 'ascending' ? 'descending' : 'ascending';
    order.value = { by: column, direction: turned };
  };
  return (
    <th aria-sort={here ? direction : undefined}>
      <button type="button" class="heading" onClick={turn}>
        {title}
        <span aria-hidden="true">{here ? (direction === 'ascending' ? ' ↑' : ' ↓') : ''}</span>
      </button>
    </th>
  );
}

function RecordingRow({ sheet, row }: Line) {
  const phase = sheet.phase.value;
  const open = changing.value === sheet.id;
  return (
    <>
      <tr class={row?.changed === '' || row === undefined ? '' : 'changed'}>
        <td class="cell-name">
          <button type="button" class="row-name" onClick={() => show(sheet)}>
            {nameOf(sheet) ?? text.read.makingDemo}
          </button>
          {row !== undefined && row.changed !== '' && <p class="cell-changed">{row.changed}</p>}
        </td>
        <td class="cell-device">{row?.device_name ?? sheet.folder}</td>
        <td class="cell-start">
          <Start phase={phase} row={row} />
        </td>
        <td class="cell-length">{row?.length ?? ''}</td>
        <td class="cell-findings">
          <State phase={phase} row={row} />
        </td>
        <td class="cell-change">
          {row !== undefined && row.error === '' && (
            <button
              type="button"
              aria-expanded={open}
              aria-label={text.shoot.changeOf(nameOf(sheet) ?? '')}
              onClick={() => (changing.value = open ? undefined : sheet.id)}
            >
              {text.shoot.change}
            </button>
          )}
        </td>
      </tr>
      {open && row !== undefined && <ChangeRow row={row} columns={COLUMNS.length + 1} />}
    </>
  );
}

/** The address at the first sample and what says so; before that, how far the reading is. */
function Start({ phase, row }: { phase: Phase; row: Row | undefined }) {
  if (row !== undefined) {
    return (
      <>
        <span class="figures">{row.starts_at === '' ? '–' : row.starts_at}</span>
        <span class="cell-by">{text.shoot.codeOn(row.by)}</span>
      </>
    );
  }
  const early = readingOf(phase)?.codes[0]?.starts_at;
  return <span class="figures">{early ?? ''}</span>;
}

/** What is wrong with it, or what is being done. */
function State({ phase, row }: { phase: Phase; row: Row | undefined }) {
  switch (phase.is) {
    case 'waiting':
      return <>{text.read.waiting}</>;
    case 'aside':
      return <>{text.shoot.aside}</>;
    case 'reading':
      return <>{`${percent(phase.progress)} %`}</>;
    case 'failed':
      return <>{problemInWords(phase.problem).verdict}</>;
    case 'known':
      return row === undefined ? null : <Numbers row={row} />;
    case 'read':
      return row === undefined || row.error !== '' ? (
        <>{sentence(phase.reading.verdict)}</>
      ) : (
        <Numbers row={row} />
      );
  }
}

/** The findings across recordings by their numbers, then how many there are of its own. */
function Numbers({ row }: { row: Row }) {
  const { findings, own_findings: own } = row;
  if (findings.length === 0 && own === 0) return <>{text.shoot.none}</>;
  return (
    <>
      {findings.map((number) => (
        <button
          key={number}
          type="button"
          class="to-finding"
          aria-label={`${text.read.findings} ${number}`}
          onClick={() => goToFinding('shoot', number)}
        >
          <span class="number">{number}</span>
        </button>
      ))}
      {own > 0 && <span>{text.shoot.own(own)}</span>}
    </>
  );
}

const names = new Intl.Collator('en', { numeric: true });

function sorted(lines: readonly Line[], { by, direction }: Order): Line[] {
  const way = direction === 'ascending' ? 1 : -1;
  return lines.toSorted(
    (a, b) => way * compared(a, b, by) || names.compare(a.sheet.name, b.sheet.name),
  );
}

function compared(a: Line, b: Line, by: Column): number {
  const number = (of: (row: Row) => number) =>
    (a.row === undefined ? Infinity : of(a.row)) - (b.row === undefined ? Infinity : of(b.row)) ||
    0;
  switch (by) {
    case 'name':
      return names.compare(a.sheet.name, b.sheet.name);
    case 'device':
      return names.compare(a.row?.device_name ?? '￿', b.row?.device_name ?? '￿');
    case 'start':
      return number(({ order }) => order);
    case 'length':
      return number(({ seconds }) => seconds);
    case 'findings':
      return number((row) => row.findings.length + row.own_findings);
  }
}
