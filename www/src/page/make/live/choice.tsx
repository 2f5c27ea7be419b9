import type { Signal } from '@preact/signals';
import { useId } from 'preact/hooks';

type Props<Value extends string> = {
  label: string;
  chosen: Signal<Value>;
  /** Each value, and what it is called. */
  choices: Partial<Record<Value, string>>;
  /** What the chosen one means. */
  note: string | undefined;
};

/** One of a few, with what it means. */
export function Choice<Value extends string>({ label, chosen, choices, note }: Props<Value>) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <span class="choice">
        <select
          id={id}
          value={chosen.value}
          aria-describedby={note === undefined ? undefined : `${id}-note`}
          onChange={(event) => (chosen.value = event.currentTarget.value as Value)}
        >
          {(Object.keys(choices) as Value[]).map((value) => (
            <option key={value} value={value}>
              {choices[value]}
            </option>
          ))}
        </select>
      </span>
      {note !== undefined && (
        <p class="note" id={`${id}-note`}>
          {note}
        </p>
      )}
    </div>
  );
}
