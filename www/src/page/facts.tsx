/** A label and its value, both ready to be shown. */
export type Fact = { label: string; value: string };

/** Labels and values between two rules. */
export function Facts({ facts }: { facts: readonly Fact[] }) {
  return (
    <dl class="facts">
      {facts.map(({ label, value }) => (
        <div key={label}>
          <dt>{label}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}
