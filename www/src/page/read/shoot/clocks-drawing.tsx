import { useRef } from 'preact/hooks';
import type { Shoot } from '../../../protocol/messages';
import { text } from '../../../text/en';
import { levels, signed } from '../drawing/levels';
import { useWidth } from '../drawing/width';
import { Facts } from '../../facts';
import { oneClock, shoot } from './clock';
import { useGestures } from './gestures';
import { DayAxis, PointedLine } from './rolling-drawing';
import { pointedAt, shown } from './window';

/** A clock as it is drawn: a device's own, or a code beside another in the same recordings. */
type Clock = Pick<Shoot['devices'][number], 'name' | 'points' | 'lines'>;

const TOP = 30;
const ROOM = 150;
const BOTTOM = 14;
const LEFT = 74;
/** Lines that are told apart without colour: full, dashed, dotted, dashed and dotted. */
const DASHES = ['', '9 5', '2 4', '9 4 2 4', '14 4', '5 3'];

/** The clocks that were seen more than once. */
function drawn(): Clock[] {
  const { devices, codes } = shoot.value ?? { devices: [], codes: [] };
  return [...devices, ...codes].filter(({ points }) => points.length > 1);
}

/** Whether there is anything to draw. */
export function hasClocks(): boolean {
  return drawn().length > 0;
}

/** How each device's own clock keeps beside the code, and two codes beside each other, over the
 * day. */
export function ClocksDrawing() {
  const [element, width] = useWidth<HTMLDivElement>();
  const clocks = drawn();
  const seen = clocks.flatMap(({ points }) => points.map(({ frames }) => frames));
  // Half a frame to either side is where clocks should stay. What a reset put far away is told at
  // the edge: it would make everything else a flat line.
  const lines = levels(seen.filter(isNear), 1);
  const [low, high] = [lines[0] ?? 0, lines.at(-1) ?? 1];
  const room = Math.max(1, width - LEFT);
  const { from, to } = shown.value;
  const toX = (second: number) => LEFT + ((second - from) / (to - from)) * room;
  const toSecond = (x: number) => from + ((x - LEFT) / room) * (to - from);
  const surface = useRef<HTMLDivElement>(null);
  const gestures = useGestures(surface, toSecond);
  const toY = (frames: number) => TOP + ((high - frames) / (high - low)) * ROOM;
  const height = TOP + ROOM + BOTTOM;
  return (
    <section>
      <h2>{text.shoot.clocks}</h2>
      <figure class="drift">
        <div class="drawing" ref={element}>
          <svg width={width} height={height} role="img" aria-label={words(clocks)}>
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
              {clocks.map((clock, index) => (
                <ClockLines
                  key={clock.name}
                  clock={clock}
                  dashes={dashes(index)}
                  toX={toX}
                  toY={toY}
                />
              ))}
            </g>
          </svg>
          <div
            ref={surface}
            class="hand clocks-hand"
            style={{ top: '0', left: `${LEFT}px`, width: `${room}px`, height: `${height}px` }}
            role="slider"
            tabIndex={0}
            aria-label={text.shoot.momentOfClocks}
            aria-valuemin={from}
            aria-valuemax={to}
            aria-valuenow={pointedAt.value ?? from}
            aria-valuetext={momentInWords()}
            {...gestures}
          />
          <PointedLine toX={toX} left={LEFT} width={width} height={height} />
        </div>
        <ol class="clock-key">
          {clocks.map((clock, index) => (
            <li key={clock.name}>
              <svg width="46" height="12" aria-hidden="true">
                <path class="drift-line" stroke-dasharray={dashes(index)} d="M0 6H46" />
              </svg>
              {clock.name}
            </li>
          ))}
        </ol>
        <figcaption>{text.shoot.clocksCaption}</figcaption>
      </figure>
      <ApartNow />
      <Jam />
    </section>
  );
}

/** How far the clocks were apart at the moment that is pointed at. */
function ApartNow() {
  const at = pointedAt.value;
  const clock = oneClock.value;
  if (at === undefined || clock === undefined) {
    return <p class="apart-hint">{text.shoot.apartHint}</p>;
  }
  const { devices, pairs } = clock.apart(at);
  return (
    <div class="apart">
      <h3>{text.shoot.apartAt(clock.address(at))}</h3>
      <Facts facts={[...devices, ...pairs]} />
    </div>
  );
}

function momentInWords(): string {
  const at = pointedAt.value;
  const clock = oneClock.value;
  if (at === undefined || clock === undefined) return '';
  return `${clock.address(at)}: ${clock.apart(at).text}`;
}

/** How often the clocks must be jammed to stay together. */
function Jam() {
  const jam = shoot.value?.jam;
  if (jam === undefined || jam.text === '') return null;
  return (
    <div class="jam">
      <h3>{text.shoot.jam}</h3>
      <p>{jam.text}</p>
      <Facts facts={jam.pairs} />
    </div>
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
  clock: Clock;
  dashes: string;
  toX: (second: number) => number;
  toY: (frames: number) => number;
};

function ClockLines({ clock, dashes, toX, toY }: ClockProps) {
  return (
    <g>
      {clock.lines.map((line) => (
        <path
          key={line.from}
          class="drift-line"
          stroke-dasharray={dashes}
          d={`M${toX(line.from)} ${toY(line.frames_from)}L${toX(line.to)} ${toY(line.frames_to)}`}
        />
      ))}
      {clock.points.map(({ at, frames }) =>
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
function words(clocks: readonly Clock[]): string {
  const said = clocks.map(({ name, lines }) => {
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
