import type { ComponentChildren } from 'preact';
import type { Problem } from '../wasm/plumbline';

/** A choice: its value, and the words for it. */
export type Choice = readonly [value: string, words: string];

type Props = {
  /** The name of the field, which its problems carry too. */
  field: string;
  /** Before the name in the page, where two forms have a field of that name. */
  form: string;
  label: string;
  value: string;
  /** What can be chosen; without, it is typed. */
  choices?: readonly Choice[] | undefined;
  /** Which keys a phone shows. */
  keys?: 'decimal' | 'text' | 'none' | undefined;
  /** How many lines are typed, where it is more than one. */
  lines?: number | undefined;
  problems: readonly Problem[];
  notes?: readonly string[];
  /** The word before what is wrong. */
  notRight: string;
  onChange: (value: string) => void;
  onFocus?: (() => void) | undefined;
  /** What stands beside the control. */
  children?: ComponentChildren;
};

/** A field to be filled in: its label, its control, and under these what it means and what is
 * wrong with it. */
export function Field(props: Props) {
  const { field, form, label, notes = [], children } = props;
  const problems = props.problems.filter((problem) => problem.field === field);
  const id = `${form}-${field}`;
  const about = [
    ...(problems.length > 0 ? [`${id}-problem`] : []),
    ...(notes.length > 0 ? [`${id}-note`] : []),
  ];
  const described = about.length > 0 ? about.join(' ') : undefined;
  return (
    <div class={`field field-${field}`}>
      <label for={id}>{label}</label>
      <div class="control">
        <Control {...props} id={id} invalid={problems.length > 0} described={described} />
        {children}
      </div>
      {problems.length > 0 && (
        <div class="problem" id={`${id}-problem`}>
          {problems.map(({ text, remedy }) => (
            <p key={text}>
              <strong>{props.notRight}</strong> {text} {remedy}
            </p>
          ))}
        </div>
      )}
      {notes.length > 0 && (
        <div class="note" id={`${id}-note`}>
          {notes.map((text) => (
            <p key={text}>{text}</p>
          ))}
        </div>
      )}
    </div>
  );
}

type ControlProps = Props & { id: string; invalid: boolean; described: string | undefined };

function Control(props: ControlProps) {
  const { id, value, choices, lines, keys, onChange, onFocus } = props;
  const control = {
    id,
    value,
    'aria-invalid': props.invalid,
    'aria-describedby': props.described,
    onFocus,
  };
  if (choices !== undefined) {
    return (
      <span class="choice">
        <select {...control} onChange={(event) => onChange(event.currentTarget.value)}>
          {choices.map(([choice, words]) => (
            <option key={choice} value={choice}>
              {words}
            </option>
          ))}
          {/* What a link says and nobody can choose is shown as it is. */}
          {!choices.some(([choice]) => choice === value) && <option value={value}>{value}</option>}
        </select>
      </span>
    );
  }
  const typed = {
    ...control,
    inputMode: keys ?? 'text',
    autocomplete: 'off',
    autocapitalize: 'off',
    spellcheck: false,
    onInput: (event: { currentTarget: { value: string } }) => onChange(event.currentTarget.value),
  } as const;
  return lines === undefined ? (
    <input {...typed} type="text" />
  ) : (
    <textarea {...typed} rows={lines} />
  );
}
