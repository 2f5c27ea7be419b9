import { useSignal } from '@preact/signals';
import { make as words } from '../../text/en-make';
import { link, reset } from './settings';

/** The settings as a link, and the way back to none. */
export function Share() {
  const said = useSignal('');
  const copy = () =>
    navigator.clipboard.writeText(link()).then(
      () => (said.value = words.linkCopied),
      () => (said.value = words.linkNotCopied),
    );
  return (
    <div class="share">
      <p>{words.link}</p>
      <div class="actions">
        <button type="button" onClick={copy}>
          {words.copyLink}
        </button>
        <button type="button" onClick={reset}>
          {words.reset}
        </button>
        <p role="status">{said.value}</p>
      </div>
    </div>
  );
}
