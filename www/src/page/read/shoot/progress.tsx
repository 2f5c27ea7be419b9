import { computed } from '@preact/signals';
import type { Progress } from '../../../protocol/messages';
import { text } from '../../../text/en';
import { ProgressBar } from '../../progress';
import { goOn, sheets, stopAll } from '../sheets';

/** How many recordings have come to their end, and how many bytes of all. */
const total = computed(() => {
  let [done, size, ended, all] = [0, 0, 0, 0];
  for (const sheet of sheets.value) {
    const phase = sheet.phase.value;
    if (phase.is === 'aside') continue;
    // What is made up has no size yet.
    const weight = Math.max(sheet.size, 1);
    size += weight;
    if (phase.is === 'reading') {
      // What is read of a film is its sound alone: the part counts, not the bytes.
      const { progress } = phase;
      const part = progress.total === 0 ? 0 : progress.done / progress.total;
      done += part * weight;
    } else if (phase.is !== 'waiting') {
      ended += 1;
      done += weight;
    }
    all += 1;
  }
  const progress: Progress = { done, total: size };
  return { progress, ended, all };
});

/** Whether nothing is read and nothing waits. */
export const allSettled = computed(() => total.value.ended === total.value.all);

/** When the readers began to work without a pause. */
let since = performance.now();
let working = false;

/** How far the readers are with all recordings, and a way to stop them. */
export function TotalProgress() {
  const { progress, ended, all } = total.value;
  const settled = allSettled.value;
  if (!settled && !working) since = performance.now();
  working = !settled;
  if (settled) return <Aside />;
  return (
    <>
      <ProgressBar
        label={text.shoot.readOf(ended, all)}
        progress={progress}
        since={since}
        stop={stopAll}
      />
      <p class="read-of">{text.shoot.readOf(ended, all)}</p>
    </>
  );
}

/** Recordings that were taken out of the queue, and the way to read them. */
function Aside() {
  const aside = sheets.value.filter(({ phase }) => phase.value.is === 'aside');
  const here = aside.filter(({ file }) => file.value !== undefined).length;
  if (aside.length === 0) return null;
  return (
    <p class="progress-note">
      {here > 0 ? text.shoot.notRead(here) : text.shoot.notHere(aside.length)}{' '}
      {here > 0 && (
        <button type="button" onClick={goOn}>
          {text.shoot.goOn}
        </button>
      )}
    </p>
  );
}
