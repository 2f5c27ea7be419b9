import { ticks } from './axis';
import { levels } from './levels';
import { useWidth } from './width';

type Props = {
  /** Seconds from the left, and the value there. */
  points: readonly (readonly [second: number, value: number])[];
  /** How many seconds the drawing is wide. */
  seconds: number;
  /** What the lines across span at least, and how each is labelled. */
  least: number;
  label: (value: number) => string;
  /** The same in words. */
  said: string;
};

const TOP = 12;
const ROOM = 110;
const BOTTOM = 30;

/** A value over time. */
export function LineDrawing({ points, seconds, least, label, said }: Props) {
  const [element, width] = useWidth<HTMLDivElement>();
  const lines = levels(
    points.map(([, value]) => value),
    least,
  );
  const labels = lines.map(label);
  const left = 18 + 8.6 * Math.max(...labels.map(({ length }) => length));
  const low = lines[0] ?? 0;
  const high = lines.at(-1) ?? 1;
  const room = Math.max(0, width - left);
  const toX = (second: number) => left + (seconds > 0 ? (second / seconds) * room : 0);
  const toY = (value: number) => TOP + ((high - value) / (high - low)) * ROOM;
  const path = points
    .map(([second, value]) => `${toX(second).toFixed(1)} ${toY(value).toFixed(1)}`)
    .join('L');
  return (
    <div class="drawing" ref={element}>
      <svg width={width} height={TOP + ROOM + BOTTOM} role="img" aria-label={said}>
        <g class="axis">
          {lines.map((value, index) => (
            <g key={value}>
              <path d={`M${left} ${Math.round(toY(value)) + 0.5}H${width}`} />
              <text x={left - 10} y={toY(value) + 4} text-anchor="end">
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
  );
}
