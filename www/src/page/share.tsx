import { useSignal } from '@preact/signals';
import { text } from '../text/en';

type Props = {
  /** The address with the settings in it. */
  link: () => string;
  clear: () => void;
};

/** What was typed as a link, and the way back to none of it. */
export function Share({ link, clear }: Props) {
  const said = useSignal('');
  const copy = () =>
    navigator.clipboard.writeText(link()).then(
      () => (said.value = text.linkCopied),
      () => (said.value = text.linkNotCopied),
    );
  return (
    <div class="share">
      <p>{text.link}</p>
      <div class="actions">
        <button type="button" onClick={copy}>
          {text.copyLink}
        </button>
        <button type="button" onClick={clear}>
          {text.clear}
        </button>
        <p role="status">{said.value}</p>
      </div>
    </div>
  );
}
