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
  /** What stands beside the control. */
  children?: ComponentChildren;
};

/** A field to be filled in: its label, its control, and under these what is wrong with it and what
 * it means. */
export function Field(props: Props) {
  const { field, form, label, notes = [], children } = props;
  const wrong = props.problems.filter((problem) => problem.field === field);
  const id = `${form}-${field}`;
  const problems = { id: `${id}-problem`, told: wrong.length > 0 };
  const meaning = { id: `${id}-note`, told: notes.length > 0 };
  const about = [problems, meaning].filter(({ told }) => told).map(({ id }) => id);
  const control = {
    id,
    value: props.value,
    'aria-invalid': problems.told,
    'aria-describedby': about.length > 0 ? about.join(' ') : undefined,
  };
  return (
    <div class={`field field-${field}`}>
      <label for={id}>{label}</label>
      <div class="control">
        {props.choices === undefined ? (
          <Blank props={props} control={control} />
        ) : (
          <Chosen choices={props.choices} onChange={props.onChange} control={control} />
        )}
        {children}
      </div>
      {problems.told && <Problems id={problems.id} problems={wrong} notRight={props.notRight} />}
      {meaning.told && <Notes id={meaning.id} notes={notes} />}
    </div>
  );
}

type Control = {
  id: string;
  value: string;
  'aria-invalid': boolean;
  'aria-describedby': string | undefined;
};

/** A field that is typed into. */
function Blank({ props: { keys, lines, onChange }, control }: { props: Props; control: Control }) {
  const blank = {
    ...control,
    inputMode: keys ?? 'text',
    autocomplete: 'off',
    autocapitalize: 'off',
    spellcheck: false,
  } as const;
  return lines === undefined ? (
    <input {...blank} type="text" onInput={(event) => onChange(event.currentTarget.value)} />
  ) : (
    <textarea {...blank} rows={lines} onInput={(event) => onChange(event.currentTarget.value)} />
  );
}

type ChosenProps = {
  choices: readonly Choice[];
  onChange: (value: string) => void;
  control: Control;
};

/** A field that is chosen from a list. */
function Chosen({ choices, onChange, control }: ChosenProps) {
  const { value } = control;
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

type ProblemsProps = { id: string; problems: readonly Problem[]; notRight: string };

function Problems({ id, problems, notRight }: ProblemsProps) {
  return (
    <div class="problem" id={id}>
      {problems.map(({ text, remedy }) => (
        <p key={text}>
          <strong>{notRight}</strong> {text} {remedy}
        </p>
      ))}
    </div>
  );
}

function Notes({ id, notes }: { id: string; notes: readonly string[] }) {
  return (
    <div class="note" id={id}>
      {notes.map((text) => (
        <p key={text}>{text}</p>
      ))}
    </div>
  );
}
