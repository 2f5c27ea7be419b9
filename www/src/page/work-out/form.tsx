import type { Part } from './sums';
import { CHOICE_WORDS, LABELS, NOTES, workOut as words } from '../../text/en-work-out';
import { type Choice, Field } from '../field';
import { FIELDS, type Spec } from './fields';
import { focused, keypad } from './keypad';
import { answered, change, state } from './state';

/** What is typed into a part. */
export function Form({ part }: { part: Part }) {
  const form: Record<string, string> | undefined = state.value?.forms[part];
  const problems = answered.value?.answer.problems ?? [];
  if (form === undefined) return null;
  return (
    <div class={`form form-${part}`} onFocusIn={(event) => focused(event.target)}>
      <div class="field-grid">
        {FIELDS[part]
          .filter(({ applies }) => applies?.(form) ?? true)
          .map((spec) => (
            <Field
              key={spec.field}
              form={part}
              field={spec.field}
              label={LABELS[part][spec.field] ?? spec.field}
              value={form[spec.field] ?? ''}
              choices={choicesOf(spec)}
              keys={spec.keypad && keypad.value ? 'none' : 'text'}
              lines={spec.lines}
              problems={problems}
              notes={NOTES[part][spec.field] ?? []}
              notRight={words.notRight}
              onChange={(value) => change(spec.field, value)}
            />
          ))}
      </div>
    </div>
  );
}

function choicesOf({ choices }: Spec): readonly Choice[] | undefined {
  return choices?.map((choice) => [choice, CHOICE_WORDS[choice] ?? choice]);
}
