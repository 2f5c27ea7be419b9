import { text } from '../../../text/en';
import type { Code } from '../code';
import { ticks } from './axis';
import { levels, signed } from './levels';
import { useWidth } from './width';

type Points = Code['drawing']['drift'];

const TOP = 12;
const ROOM = 110;
const BOTTOM = 30;

/** How far the code's clock parts from the recorder's. */
export function DriftDrawing({ points, seconds }: { points: Points; seconds: number }) {
  const [element, width] = useWidth<HTMLDivElement>();
  const lines = levels(
    points.map(({ frames }) => frames),
    0.02,
  );
  const labels = lines.map(signed);
  const left = 18 + 8.6 * Math.max(...labels.map(({ length }) => length));
  const low = lines[0] ?? 0;
  const high = lines.at(-1) ?? 1;
  const room = Math.max(0, width - left);
  const toX = (second: number) => left + (seconds > 0 ? (second / seconds) * room : 0);
  const toY = (frames: number) => TOP + ((high - frames) / (high - low)) * ROOM;
  const path = points
    .map(({ second, frames }) => `${toX(second).toFixed(1)} ${toY(frames).toFixed(1)}`)
    .join('L');
  return (
    <figure class="drift">
      <div class="drawing" ref={element}>
        <svg width={width} height={TOP + ROOM + BOTTOM} role="img" aria-label={words(points)}>
          <g class="axis">
            {lines.map((frames, index) => (
              <g key={frames}>
                <path d={`M${left} ${Math.round(toY(frames)) + 0.5}H${width}`} />
                <text x={left - 10} y={toY(frames) + 4} text-anchor="end">
                  {labels[index]}
                </text>
              </g>
            ))}
            {ticks(seconds, room, 84).map(({ x, label }) => (
              <text
                key={label}
                x={left + x}
                y={TOP + ROOM + 24}
                text-anchor={x > room - 24 ? 'end' : 'middle'}
              >
                {label}
              </text>
            ))}
          </g>
          <path class="drift-line" d={`M${path}`} />
        </svg>
      </div>
      <figcaption>{words(points)}</figcaption>
    </figure>
  );
}

function words(points: Points): string {
  const first = points[0]?.frames ?? 0;
  const last = points.at(-1)?.frames ?? 0;
  return text.read.driftWords(signed(last - first));
}
