import { awakeInWords } from '../../text/en-live';
import { aboutInWords, listen as words } from '../../text/en-listen';
import { awake } from '../make/live/awake';
import { phase } from './hearing';

/** What is known of the input while it is listened to, and what can't be. */
export function Way() {
  const now = phase.value;
  if (now.is !== 'listening') return null;
  const lines = [...aboutInWords(now.about), awakeInWords(awake.value)];
  return (
    <section aria-labelledby="way-title">
      <h2 id="way-title">{words.inputTitle}</h2>
      <div class="live-account">
        {lines
          .filter((line) => line !== '')
          .map((line) => (
            <p key={line}>{line}</p>
          ))}
      </div>
    </section>
  );
}
