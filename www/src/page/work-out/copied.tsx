import { useSignal } from '@preact/signals';
import { workOut as words } from '../../text/en-work-out';

/** What became of the last copy, and of which value it was: of another one nothing is known yet. */
type Outcome = { value: string; said: string };

/** Copies a value, and says so. */
export function Copy({ what, value }: { what: string; value: string }) {
  const outcome = useSignal<Outcome | undefined>(undefined);
  const said = outcome.value?.value === value ? outcome.value.said : words.copy;
  const copy = () =>
    navigator.clipboard.writeText(value).then(
      () => (outcome.value = { value, said: words.copied }),
      () => (outcome.value = { value, said: words.notCopied }),
    );
  return (
    <button type="button" class="copy" aria-label={`${said}: ${what}`} onClick={copy}>
      {said}
    </button>
  );
}
