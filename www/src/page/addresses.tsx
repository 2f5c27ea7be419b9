import type { ComponentChildren } from 'preact';

type Address = { label: string; value: ComponentChildren };

/** Two time addresses, as large as the width allows. */
export function Addresses({ first, last }: { first: Address; last: Address }) {
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
