import type { Shoot } from '../../../protocol/messages';
import { text } from '../../../text/en';
import { levels, signed } from '../drawing/levels';
import { useWidth } from '../drawing/width';
import { shoot } from './clock';
import { DayAxis } from './rolling-drawing';
import { shown } from './window';

type Device = Shoot['devices'][number];

const TOP = 30;
const ROOM = 150;
const BOTTOM = 14;
const LEFT = 74;
/** Lines that are told apart without colour: full, dashed, dotted, dashed and dotted. */
const DASHES = ['', '9 5', '2 4', '9 4 2 4', '14 4', '5 3'];

/** How each device's own clock keeps beside the code, over the day. */
export function ClocksDrawing() {
  const [element, width] = useWidth<HTMLDivElement>();
  const devices = (shoot.value?.devices ?? []).filter(({ points }) => points.length > 1);
  const seen = devices.flatMap((device) => device.points.map(({ frames }) => frames));
  // Half a frame to either side is where clocks should stay. What a reset put far away is told at
  // the edge: it would make everything else a flat line.
  const lines = levels(seen.filter(isNear), 1);
  const [low, high] = [lines[0] ?? 0, lines.at(-1) ?? 1];
  const room = Math.max(1, width - LEFT);
  const { from, to } = shown.value;
  const toX = (second: number) => LEFT + ((second - from) / (to - from)) * room;
  const toY = (frames: number) => TOP + ((high - frames) / (high - low)) * ROOM;
  const height = TOP + ROOM + BOTTOM;
  return (
    <section>
      <h2>{text.shoot.clocks}</h2>
      <figure class="drift">
        <div class="drawing" ref={element}>
          <svg width={width} height={height} role="img" aria-label={words(devices)}>
            <clipPath id="clocks-room">
              <rect x={LEFT} y={0} width={room} height={height} />
            </clipPath>
            <DayAxis width={room} left={LEFT} height={height} />
            <g class="axis">
              {lines.map((frames) => (
                <g key={frames}>
                  <path d={`M${LEFT} ${Math.round(toY(frames)) + 0.5}H${width}`} />
                  <text x={LEFT - 10} y={toY(frames) + 4} text-anchor="end">
                    {signed(frames)}
                  </text>
                </g>
              ))}
            </g>
            <g clip-path="url(#clocks-room)">
              {devices.map((device, index) => (
                <DeviceClock
                  key={device.key}
                  device={device}
                  dashes={dashes(index)}
                  toX={toX}
                  toY={toY}
                />
              ))}
            </g>
          </svg>
        </div>
        <ol class="clock-key">
          {devices.map((device, index) => (
            <li key={device.key}>
              <svg width="46" height="12" aria-hidden="true">
                <path class="drift-line" stroke-dasharray={dashes(index)} d="M0 6H46" />
              </svg>
              {device.name}
            </li>
          ))}
        </ol>
        <figcaption>{text.shoot.clocksCaption}</figcaption>
      </figure>
    </section>
  );
}

/** Frames that are drawn to scale. */
function isNear(frames: number): boolean {
  return Math.abs(frames) <= 20;
}

/** Where what is too far to be drawn is told: at the edge that it lies beyond. */
function farY(frames: number): number {
  return frames < 0 ? TOP + ROOM - 6 : TOP + 16;
}

function dashes(index: number): string {
  return DASHES[index % DASHES.length] ?? '';
}

type ClockProps = {
  device: Device;
  dashes: string;
  toX: (second: number) => number;
  toY: (frames: number) => number;
};

function DeviceClock({ device, dashes, toX, toY }: ClockProps) {
  return (
    <g>
      {device.lines.map((line) => (
        <path
          key={line.from}
          class="drift-line"
          stroke-dasharray={dashes}
          d={`M${toX(line.from)} ${toY(line.frames_from)}L${toX(line.to)} ${toY(line.frames_to)}`}
        />
      ))}
      {device.points.map(({ at, frames }) =>
        isNear(frames) ? (
          <circle key={at} class="clock-point" cx={toX(at)} cy={toY(frames)} r="3" />
        ) : (
          <text key={at} class="clock-far" x={toX(at)} y={farY(frames)} text-anchor="middle">
            {`${frames < 0 ? '↓' : '↑'} ${signed(frames)}`}
          </text>
        ),
      )}
    </g>
  );
}

/** The drawing for those who cannot see it. */
function words(devices: readonly Device[]): string {
  const said = devices.map(({ name, lines }) => {
    const [first, last] = [lines[0], lines.at(-1)];
    return first === undefined || last === undefined
      ? ''
      : text.shoot.clockWords(
          name,
          signed(first.frames_from),
          signed(last.frames_to),
          lines.length,
        );
  });
  return said.join(' ');
}
