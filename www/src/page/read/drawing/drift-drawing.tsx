import { text } from '../../../text/en';
import type { Code } from '../code';
import { signed } from './levels';
import { LineDrawing } from './line-drawing';

type Points = Code['drawing']['drift'];

/** How far the code's clock parts from the recorder's. */
export function DriftDrawing({ points, seconds }: { points: Points; seconds: number }) {
  return (
    <figure class="drift">
      <LineDrawing
        points={points.map(({ second, frames }) => [second, frames])}
        seconds={seconds}
        least={0.02}
        label={signed}
        said={words(points)}
      />
      <figcaption>{words(points)}</figcaption>
    </figure>
  );
}

function words(points: Points): string {
  const first = points[0]?.frames ?? 0;
  const last = points.at(-1)?.frames ?? 0;
  return text.read.driftWords(signed(last - first));
}
