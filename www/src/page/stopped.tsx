import { text } from '../text/en';
import { Trouble } from './trouble';

/** What is said of an end that nobody wanted; nothing where somebody did. */
type Why = { text: string; remedy: string } | undefined;

/** Why something that went on came to its end. */
export function StoppedBecause({ why }: { why: Why }) {
  if (why === undefined) return null;
  return (
    <div class="live-ended">
      <p>
        <strong>{text.stopped}</strong>
      </p>
      <Trouble {...why} />
    </div>
  );
}

/** The same for those who hear the page. */
export function stoppedAloud(why: Why): string {
  return why === undefined ? text.stopped : `${text.stopped} ${why.text} ${why.remedy}`;
}
