import { text } from '../../../text/en';
import type { Code } from '../code';
import { ticks } from './axis';
import { useWidth } from './width';

type Points = Code['drawing']['drift'];

const TOP = 12;
const ROOM = 110;
const BOTTOM = 30;

/** How far the code's clock parts from the recorder's. */
export function DriftDrawing({ points, seconds }: { points: Points; seconds: number }) {
  const [element, width] = useWidth<HTMLDivElement>();
  const lines = levels(points);
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

/** Three to five lines at round numbers of frames around all the points, zero among them. */
function levels(points: Points): number[] {
  const frames = points.map((point) => point.frames);
  const low = Math.min(0, ...frames);
  const high = Math.max(0, ...frames);
  const span = Math.max(high - low, 0.02);
  const power = 10 ** Math.floor(Math.log10(span));
  const step =
    [0.2, 0.5, 1, 2, 5].map((part) => part * power).find((step) => span / step <= 4) ?? span;
  const from = Math.floor(low / step - 1e-9);
  const to = Math.ceil(high / step + 1e-9);
  return Array.from({ length: to - from + 1 }, (_, index) => (from + index) * step);
}

function signed(frames: number): string {
  const size = Number(Math.abs(frames).toPrecision(2));
  if (size === 0) return '0 f';
  return `${frames < 0 ? '−' : '+'}${size} f`;
}

function words(points: Points): string {
  const first = points[0]?.frames ?? 0;
  const last = points.at(-1)?.frames ?? 0;
  return text.read.driftWords(signed(last - first));
}
