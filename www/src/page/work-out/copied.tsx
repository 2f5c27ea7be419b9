import { useSignal } from '@preact/signals';
import { workOut as words } from '../../text/en-work-out';

/** Copies a value, and says so. */
export function Copy({ what, value }: { what: string; value: string }) {
  const said = useSignal<string>(words.copy);
  const copy = () =>
    navigator.clipboard.writeText(value).then(
      () => (said.value = words.copied),
      () => (said.value = words.notCopied),
    );
  return (
    <button type="button" class="copy" aria-label={`${said.value}: ${what}`} onClick={copy}>
      {said.value}
    </button>
  );
}
