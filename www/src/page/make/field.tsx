import type { ComponentChildren } from 'preact';
import type { Field as Name } from '../../protocol/make';
import { CHOICE_WORDS, LABELS, make as words } from '../../text/en-make';
import { type Choice, Field } from '../field';
import { applies, CHOICES, inputMode, isChosen } from './choices';
import { change, settings, sketch } from './settings';

type Props = {
  field: Name;
  /** What stands beside the control. */
  children?: ComponentChildren;
  /** What there is to say about the field besides what the sketch says. */
  note?: string | undefined;
};

/** A setting of the tone. */
export function FieldView({ field, children, note }: Props) {
  const problems = sketch.value?.problems ?? [];
  const notes = sketch.value?.notes.filter((said) => said.field === field) ?? [];
  if (settings.value === undefined) return null;
  const wrong = problems.some((problem) => problem.field === field);
  if (!applies(field, settings.value) && !wrong) return null;
  return (
    <Field
      form="make"
      field={field}
      label={LABELS[field]}
      value={settings.value[field]}
      choices={isChosen(field) ? choicesOf(field) : undefined}
      keys={isChosen(field) ? undefined : inputMode(field)}
      problems={problems}
      notes={[...notes.map(({ text }) => text), ...(note === undefined ? [] : [note])]}
      notRight={words.notRight}
      onChange={(value) => change(field, value)}
    >
      {children}
    </Field>
  );
}

function choicesOf(field: keyof typeof CHOICES): readonly Choice[] {
  return CHOICES[field].map((choice) => [choice, CHOICE_WORDS[field]?.[choice] ?? choice]);
}
