import { useState } from 'preact/hooks';
import type { Correction, Shoot } from '../../../protocol/messages';
import { text } from '../../../text/en';
import { BySound } from './by-sound';
import { change, changed, shoot } from './clock';

type Row = Shoot['recordings'][number];
type FieldName = keyof Required<Correction>;

const EMPTY: Required<Correction> = { device: '', start: '', nudge: '', reel: '' };

/** What can be changed of a recording by hand. It is kept apart from what was measured. */
export function ChangeRow({ row, columns }: { row: Row; columns: number }) {
  const correction = { ...EMPTY, ...changed.value.recordings?.[row.key] };
  const set = (field: FieldName, typed: string) => {
    if (typed === correction[field]) return;
    const { names = {}, recordings = {} } = changed.value;
    change({ names, recordings: { ...recordings, [row.key]: { ...correction, [field]: typed } } });
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
              list={field === 'device' ? 'devices' : undefined}
              set={(typed) => set(field, typed)}
            />
          ))}
        </div>
        <datalist id="devices">
          {shoot.value?.devices.map(({ key }) => (
            <option key={key} value={key} />
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
