import type { Progress } from '../protocol/messages';
import { text, timeLeft } from '../text/en';

type Props = {
  /** What is being done, for those who hear the page. */
  label: string;
  progress: Progress;
  /** When it began, on the page's own clock. */
  since: number;
  stop: () => void;
};

/** How far something is, how long it will still take, and a way to stop it. */
export function ProgressBar({ label, progress, since, stop }: Props) {
  return (
    <div class="progress">
      <progress max={100} value={percent(progress)} aria-label={label} />
      <p>
        <span class="figure">{percent(progress)} %</span> {left(progress, since)}
      </p>
      <button type="button" onClick={stop}>
        {text.stop}
      </button>
    </div>
  );
}

export function percent({ done, total }: Progress): number {
  return total === 0 ? 0 : Math.floor((100 * done) / total);
}

function left({ done, total }: Progress, since: number): string {
  if (done === 0) return '';
  const gone = (performance.now() - since) / 1000;
  return timeLeft((gone * (total - done)) / done);
}
