import { useState } from 'preact/hooks';
import type { Correction, Shoot } from '../../../protocol/messages';
import { text } from '../../../text/en';
import { RATES } from '../../rates';
import { BySound } from './by-sound';
import { change, changed } from './changes';
import { shoot } from './clock';

type Row = Shoot['recordings'][number];
type FieldName = keyof Required<Correction>;

const EMPTY: Required<Correction> = {
  device: '',
  start: '',
  nudge: '',
  rate: '',
  reel: '',
};

/** Where the crates name drop-frame, they name it so. */
const DROP_FRAME = ['29.97', '59.94'];
/** The fields for which the page knows what could be typed. */
const LISTS: Partial<Record<FieldName, string>> = { device: 'devices', rate: 'rates' };

/** What can be changed of a recording by hand. It is kept apart from what was measured. */
export function ChangeRow({ row, columns }: { row: Row; columns: number }) {
  const correction = { ...EMPTY, ...changed.value.recordings?.[row.key] };
  const set = (field: FieldName, typed: string) => {
    if (typed === correction[field]) return;
    const { names = {}, recordings = {} } = changed.value;
    const own = { ...correction, [field]: typed };
    change({ corrections: { names, recordings: { ...recordings, [row.key]: own } } });
  };
  const id = (field: FieldName) => `change-${field}`;
  return (
    <tr class="change-row">
      <td colSpan={columns}>
        <div class="change-fields">
          {(Object.keys(EMPTY) as FieldName[]).map((field) => (
            <ChangeField
              key={field}
              id={id(field)}
              label={text.shoot.fields[field]}
              value={correction[field]}
              hint={hint(row, field)}
              problem={row.problems.find((problem) => problem.field === field)}
              list={LISTS[field]}
              set={(typed) => set(field, typed)}
            />
          ))}
        </div>
        <datalist id="devices">
          {shoot.value?.devices.map(({ key }) => (
            <option key={key} value={key} />
          ))}
        </datalist>
        <datalist id="rates">
          {RATES.flatMap((rate) =>
            DROP_FRAME.includes(rate) ? [rate, `${rate} drop-frame`] : [rate],
          ).map((rate) => (
            <option key={rate} value={rate} />
          ))}
        </datalist>
        <p class="change-note">{text.shoot.changeNote}</p>
        <BySound row={row} />
      </td>
    </tr>
  );
}

/** What holds where nothing is typed. */
function hint(row: Row, field: FieldName): string {
  const hints: Record<FieldName, string> = {
    device: row.device,
    start: row.starts_at,
    nudge: '0',
    rate: row.rate,
    reel: row.reel,
  };
  return hints[field];
}

type FieldProps = {
  id: string;
  label: string;
  value: string;
  hint: string;
  problem: Row['problems'][number] | undefined;
  list: string | undefined;
  set: (typed: string) => void;
};

/** A field that takes effect when one leaves it or presses Enter. */
function ChangeField({ id, label, value, hint, problem, list, set }: FieldProps) {
  const [typed, type] = useState(value);
  return (
    <div class="change-field">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="text"
        list={list}
        autocomplete="off"
        spellcheck={false}
        value={typed}
        placeholder={hint}
        aria-invalid={problem !== undefined}
        aria-describedby={problem === undefined ? undefined : `${id}-problem`}
        onInput={(event) => type(event.currentTarget.value)}
        onBlur={() => set(typed.trim())}
        onKeyDown={(event) => event.key === 'Enter' && set(typed.trim())}
      />
      {problem !== undefined && (
        <p class="change-problem" id={`${id}-problem`}>
          {problem.text} {problem.remedy}
        </p>
      )}
    </div>
  );
}
