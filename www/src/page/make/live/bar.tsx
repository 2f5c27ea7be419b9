import { live as words } from '../../../text/en-live';
import { Digits } from './digits';
import { phase, stop } from './playing';

/** Wherever one is on the page while code plays: what is at the output, and the way to stop it. */
export function LiveBar() {
  const now = phase.value;
  if (now.is !== 'playing') return null;
  return (
    <aside class="live-bar" aria-label={words.title}>
      <p>
        <span class="live-label">{now.heard === 'code' ? words.playing : words.beeping}</span>
        <Digits />
      </p>
      <button type="button" class="main" aria-keyshortcuts="Escape" onClick={() => stop()}>
        {words.stop}
      </button>
    </aside>
  );
}
