import { ticks } from '../read/drawing/axis';
import { levels, withSign } from '../read/drawing/levels';
import { useWidth } from '../read/drawing/width';

type Props = {
  /** Second of listening, and milliseconds gained since the first. */
  points: readonly (readonly [number, number])[];
  /** The same in words. */
  said: string;
};

const TOP = 12;
const ROOM = 90;
const BOTTOM = 30;

/** How two clocks part, second by second, in milliseconds. */
export function ApartDrawing({ points, said }: Props) {
  const [element, width] = useWidth<HTMLDivElement>();
  const lines = levels(
    points.map(([, milliseconds]) => milliseconds),
    0.2,
  );
  const labels = lines.map((line) => `${withSign(line)} ms`);
  const left = 18 + 8.6 * Math.max(...labels.map(({ length }) => length));
  const low = lines[0] ?? 0;
  const high = lines.at(-1) ?? 1;
  const room = Math.max(0, width - left);
  const seconds = points.at(-1)?.[0] ?? 0;
  const toX = (second: number) => left + (seconds > 0 ? (second / seconds) * room : 0);
  const toY = (line: number) => TOP + ((high - line) / (high - low)) * ROOM;
  const path = points.map(([second, line]) => `${toX(second).toFixed(1)} ${toY(line).toFixed(1)}`);
  return (
    <figure class="drift">
      <div class="drawing" ref={element}>
        <svg width={width} height={TOP + ROOM + BOTTOM} role="img" aria-label={said}>
          <g class="axis">
            {lines.map((line, index) => (
              <g key={line}>
                <path d={`M${left} ${Math.round(toY(line)) + 0.5}H${width}`} />
                <text x={left - 10} y={toY(line) + 4} text-anchor="end">
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
          <path class="drift-line" d={`M${path.join('L')}`} />
        </svg>
      </div>
    </figure>
  );
}
