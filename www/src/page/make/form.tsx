import { useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { Field } from '../../protocol/make';
import { make as words } from '../../text/en-make';
import { Share } from '../share';
import { FieldView } from './field';
import { isTold, link, reset, settings, sketch, startNow, zoneToday } from './settings';

const SAYS: readonly Field[] = [
  'until',
  'length',
  'last',
  'user_bits_are',
  'user_bits',
  'characters',
  'date',
  'spare',
  'zone',
];
const MORE_SAYS: readonly Field[] = ['takes', 'silence', 'jump', 'colour_frame', 'clock_time'];
const SOUNDS: readonly Field[] = ['level', 'sample_rate', 'samples', 'beside'];
const MORE_SOUNDS: readonly Field[] = ['rise_time', 'polarity'];

/** All the settings of a tone. */
export function Form() {
  return (
    <>
      <Section title={words.says}>
        <FieldView field="rate" />
        <FieldView field="counting" />
        <Start />
        <Fields fields={SAYS} />
        <More title={words.moreSays} fields={MORE_SAYS} />
      </Section>
      <Section title={words.sounds}>
        <Fields fields={SOUNDS} />
        <More title={words.moreSounds} fields={MORE_SOUNDS} />
      </Section>
      <Share link={link} clear={reset} />
    </>
  );
}

function Section({ title, children }: { title: string; children: ComponentChildren }) {
  return (
    <section class="form">
      <h2>{title}</h2>
      <div class="field-grid">{children}</div>
    </section>
  );
}

function Fields({ fields }: { fields: readonly Field[] }) {
  return (
    <>
      {fields.map((field) => (
        <FieldView key={field} field={field} />
      ))}
    </>
  );
}

/** The first address, and the way to take it from the clock. Typing another ends its note. */
function Start() {
  const taken = useSignal<string | undefined>(undefined);
  const fromClock = taken.value !== undefined && taken.value === settings.value?.start;
  return (
    <FieldView field="start" note={fromClock ? words.nowTaken(zoneToday()) : undefined}>
      <button
        type="button"
        aria-label={words.nowWhat}
        onClick={async () => {
          taken.value = await startNow();
        }}
      >
        {words.now}
      </button>
    </FieldView>
  );
}

/** What is seldom needed: it opens where something in it is set, or not right. */
function More({ title, fields }: { title: string; fields: readonly Field[] }) {
  const element = useRef<HTMLDetailsElement>(null);
  const wrong = sketch.value?.problems.some(({ field }) => fields.includes(field as Field));
  const told = fields.some(isTold);
  useEffect(() => {
    if (element.current !== null && (wrong || told)) element.current.open = true;
  }, [wrong, told]);
  return (
    <details class="more" ref={element}>
      <summary>{title}</summary>
      <div class="field-grid">
        <Fields fields={fields} />
      </div>
    </details>
  );
}
