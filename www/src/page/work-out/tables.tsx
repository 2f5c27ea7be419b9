import type { Answer } from './sums';
import { Copy } from './copied';

type Table = Answer['tables'][number];

/** Values with their working, table by table. */
export function Tables({ tables }: { tables: readonly Table[] }) {
  return (
    <>
      {tables.map(({ title, rows }) => (
        <section key={title} class="sums">
          <h2>{title}</h2>
          <dl>
            {rows.map((row) => (
              <Value key={row.label} row={row} />
            ))}
          </dl>
        </section>
      ))}
    </>
  );
}

function Value({ row: { label, value, how, rounded } }: { row: Table['rows'][number] }) {
  return (
    <div class="sum">
      <dt>{label}</dt>
      <dd>
        <p class="sum-value">
          <span>{value}</span>
          <Copy what={label} value={value} />
        </p>
        {how !== '' && <p class="sum-how">{how}</p>}
        {rounded !== undefined && rounded !== null && <p class="sum-rounded">{rounded}</p>}
      </dd>
    </div>
  );
}
