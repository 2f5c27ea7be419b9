import { useEffect, useState } from 'preact/hooks';

/** Milliseconds without a key before what was typed is answered aloud. */
const PAUSE = 900;

/** Says a text to those who hear the page, once it has stood for a while. */
export function Aloud({ said }: { said: string }) {
  const [settled, settle] = useState('');
  useEffect(() => {
    const timer = setTimeout(() => settle(said), PAUSE);
    return () => clearTimeout(timer);
  }, [said]);
  return (
    <p class="visually-hidden" role="status">
      {settled}
    </p>
  );
}
