import { text, timeLeft } from '../../text/en';
import { percent } from './announcer';
import { type Phase, type Sheet, stop } from './sheets';

/** How far the reading is, how long it will take, and a way to stop it. */
export function ProgressLine({ sheet, phase }: { sheet: Sheet; phase: Phase }) {
  if (phase.is === 'waiting') return <p class="progress-note">{text.read.waiting}</p>;
  if (phase.is !== 'reading') return null;
  const { progress, since } = phase;
  return (
    <div class="progress">
      <progress max={100} value={percent(progress)} aria-label={text.read.reading('')} />
      <p>
        <span class="figure">{percent(progress)} %</span> {left(progress, since)}
      </p>
      <button type="button" onClick={() => stop(sheet)}>
        {text.read.stop}
      </button>
    </div>
  );
}

function left({ done, total }: { done: number; total: number }, since: number): string {
  if (done === 0) return '';
  const gone = (performance.now() - since) / 1000;
  return timeLeft((gone * (total - done)) / done);
}
