import type { ComponentChildren } from 'preact';
import type { Field, Sketch } from '../../protocol/make';
import { CHOICE_WORDS, LABELS, make as words } from '../../text/en-make';
import {
  applies,
  CHOICES,
  type ChosenField,
  inputMode,
  isChosen,
  type TypedField,
} from './choices';
import { change, settings, sketch } from './settings';

type Props = {
  field: Field;
  /** What stands beside the control. */
  children?: ComponentChildren;
  /** What there is to say about the field besides what the sketch says. */
  note?: string | undefined;
};

/** A setting: its label, its control, and under these what is wrong with it and what it means. */
export function FieldView({ field, children, note }: Props) {
  if (settings.value === undefined) return null;
  const wrong = sketch.value?.problems.filter((problem) => problem.field === field) ?? [];
  if (!applies(field, settings.value) && wrong.length === 0) return null;
  const means = sketch.value?.notes.filter((said) => said.field === field) ?? [];
  const notes = [...means.map(({ text }) => text), ...(note === undefined ? [] : [note])];
  const id = `make-${field}`;
  const problems = { id: `${id}-problem`, told: wrong.length > 0 };
  const meaning = { id: `${id}-note`, told: notes.length > 0 };
  const about = [problems, meaning].filter(({ told }) => told).map(({ id }) => id);
  const control = {
    id,
    value: settings.value[field],
    'aria-invalid': problems.told,
    'aria-describedby': about.length > 0 ? about.join(' ') : undefined,
  };
  return (
    <div class={`field field-${field}`}>
      <label for={id}>{LABELS[field]}</label>
      <div class="control">
        {isChosen(field) ? (
          <Choice field={field} control={control} />
        ) : (
          <Blank field={field} control={control} />
        )}
        {children}
      </div>
      {problems.told && <Problems id={problems.id} problems={wrong} />}
      {meaning.told && <Notes id={meaning.id} notes={notes} />}
    </div>
  );
}

function Problems({ id, problems }: { id: string; problems: Sketch['problems'] }) {
  return (
    <div class="problem" id={id}>
      {problems.map(({ text, remedy }) => (
        <p key={text}>
          <strong>{words.notRight}</strong> {text} {remedy}
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

type Control = {
  id: string;
  value: string;
  'aria-invalid': boolean;
  'aria-describedby': string | undefined;
};

/** A field that is typed into. */
function Blank({ field, control }: { field: TypedField; control: Control }) {
  return (
    <input
      {...control}
      type="text"
      inputMode={inputMode(field)}
      autocomplete="off"
      autocapitalize="off"
      spellcheck={false}
      onInput={(event) => change(field, event.currentTarget.value)}
    />
  );
}

/** A field that is chosen from a list. */
function Choice({ field, control }: { field: ChosenField; control: Control }) {
  const known: readonly string[] = CHOICES[field];
  const { value } = control;
  return (
    <span class="choice">
      <select {...control} onChange={(event) => change(field, event.currentTarget.value)}>
        {known.map((choice) => (
          <option key={choice} value={choice}>
            {CHOICE_WORDS[field]?.[choice] ?? choice}
          </option>
        ))}
        {/* What a link says and nobody can choose is shown as it is. */}
        {!known.includes(value) && <option value={value}>{value}</option>}
      </select>
    </span>
  );
}
