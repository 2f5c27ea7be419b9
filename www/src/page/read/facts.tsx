import type { Reading } from '../../protocol/messages';

type Fact = Reading['notes'][number];

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
