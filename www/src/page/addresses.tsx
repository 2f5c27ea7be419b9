import type { ComponentChildren } from 'preact';

type Address = { label: string; value: ComponentChildren };

/** Characters of an address that counts its frames with two digits. */
const CHARACTERS = 11;

/** Two time addresses, as large as the width allows. */
export function Addresses({ first, last }: { first: Address; last: Address }) {
  const both = [first, last];
  const long = both.some(({ value }) => typeof value === 'string' && value.length > CHARACTERS);
  return (
    <dl class={long ? 'addresses addresses-long' : 'addresses'}>
      {both.map(({ label, value }) => (
        <div key={label}>
          <dt>{label}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}
