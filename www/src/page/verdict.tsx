import type { Reading } from '../protocol/messages';

export type Verdict = Reading['verdict'];

/** A verdict in a sentence, with the words that want attention marked. */
export function VerdictWords({ verdict: { before, mark, after } }: { verdict: Verdict }) {
  return (
    <>
      {before}
      {mark !== '' && <em class="mark">{mark}</em>}
      {after}
    </>
  );
}
