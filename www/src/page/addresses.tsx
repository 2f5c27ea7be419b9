import type { Fact } from './facts';

/** Two time addresses, as large as the width allows. */
export function Addresses({ first, last }: { first: Fact; last: Fact }) {
  return (
    <dl class="addresses">
      {[first, last].map(({ label, value }) => (
        <div key={label}>
          <dt>{label}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}
