import { listen as words } from '../../text/en-listen';
import { type Choice, Field } from '../field';
import { changePlan, planned, planProblems } from './hearing';

/** The rates at which codewords follow each other. */
const RATES: readonly Choice[] = [
  ['', words.anyRate],
  ...['23.976', '24', '25', '29.97', '30'].map((rate): Choice => [rate, rate]),
];
const COUNTINGS: readonly Choice[] = [
  ['', words.anyCounting],
  ['non-drop', words.nonDrop],
  ['drop', words.drop],
];

/** What the code is to be: whatever departs from it is said. */
export function PlanSection() {
  const form = { form: 'plan', problems: planProblems.value, notRight: words.notRight };
  const { rate, counting, user_bits } = planned.value;
  return (
    <section class="form" aria-labelledby="plan-title">
      <h2 id="plan-title">{words.planTitle}</h2>
      <p class="explanation">{words.planExplanation}</p>
      <div class="field-grid">
        <Field
          {...form}
          field="rate"
          label={words.rate}
          value={rate}
          choices={RATES}
          onChange={(rate) => void changePlan({ rate })}
        />
        <Field
          {...form}
          field="counting"
          label={words.counting}
          value={counting}
          choices={COUNTINGS}
          onChange={(counting) => void changePlan({ counting })}
        />
        <Field
          {...form}
          field="user_bits"
          label={words.userBitsPlanned}
          value={user_bits}
          notes={[words.userBitsNote]}
          onChange={(user_bits) => void changePlan({ user_bits })}
        />
      </div>
    </section>
  );
}
