import type { ComponentChildren } from 'preact';
import type { Field } from '../../protocol/make';
import { CHOICE_WORDS, LABELS, make as words } from '../../text/en-make';
import { applies, CHOICES, type ChosenField, inputMode, isChosen } from './choices';
import { change, settings, sketch } from './settings';

type Props = {
  field: Field;
  /** What stands beside the control. */
  children?: ComponentChildren;
  /** What there is to say about the field besides what the sketch says. */
  note?: string | undefined;
};

/** A setting: its label, its control, and under these what it means and what is wrong with it. */
export function FieldView({ field, children, note }: Props) {
  const value = settings.value?.[field] ?? '';
  const problems = sketch.value?.problems.filter((problem) => problem.field === field) ?? [];
  const notes = sketch.value?.notes.filter((said) => said.field === field) ?? [];
  const told = [...notes.map(({ text }) => text), ...(note === undefined ? [] : [note])];
  if (settings.value === undefined) return null;
  if (!applies(field, settings.value) && problems.length === 0) return null;
  const id = idOf(field);
  const about = [
    ...(problems.length > 0 ? [`${id}-problem`] : []),
    ...(told.length > 0 ? [`${id}-note`] : []),
  ];
  const control = {
    id,
    value,
    'aria-invalid': problems.length > 0,
    'aria-describedby': about.length > 0 ? about.join(' ') : undefined,
  };
  return (
    <div class={`field field-${field}`}>
      <label for={id}>{LABELS[field]}</label>
      <div class="control">
        {isChosen(field) ? (
          <Choice field={field} control={control} />
        ) : (
          <input
            {...control}
            type="text"
            inputMode={inputMode(field)}
            autocomplete="off"
            autocapitalize="off"
            spellcheck={false}
            onInput={(event) => change(field, event.currentTarget.value)}
          />
        )}
        {children}
      </div>
      {problems.length > 0 && (
        <div class="problem" id={`${id}-problem`}>
          {problems.map(({ text, remedy }) => (
            <p key={text}>
              <strong>{words.notRight}</strong> {text} {remedy}
            </p>
          ))}
        </div>
      )}
      {told.length > 0 && (
        <div class="note" id={`${id}-note`}>
          {told.map((text) => (
            <p key={text}>{text}</p>
          ))}
        </div>
      )}
    </div>
  );
}

function idOf(field: Field): string {
  return `make-${field}`;
}

type Control = {
  id: string;
  value: string;
  'aria-invalid': boolean;
  'aria-describedby': string | undefined;
};

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
