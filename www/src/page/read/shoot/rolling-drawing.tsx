import type { Signal } from '@preact/signals';
import { useRef } from 'preact/hooks';
import type { Shoot } from '../../../protocol/messages';
import { text } from '../../../text/en';
import { squares } from '../drawing/numbers';
import { SquareLink } from '../drawing/square';
import { useWidth } from '../drawing/width';
import { oneClock, shoot } from './clock';
import { useGestures } from './gestures';
import { isWhole, pan, pointedAt, shown, showWhole, zoom } from './window';

type Device = Shoot['devices'][number];

/** Heights in pixels: the addresses above, a row with its name, a bar in it. */
const TOP = 34;
const ROW = 64;
const NAME = 28;
const BAR = 14;
/** From this many pixels on, names stand beside their rows. */
const WIDE = 700;
const NAMES = 150;

type Props = {
  /** The beginning of the findings' element ids. */
  prefix: string;
  /** The number of the finding that is pointed at, here or among the findings. */
  pointed: Signal<number | undefined>;
};

/** Who was rolling: a row for each device, along the day. */
export function RollingDrawing({ prefix, pointed }: Props) {
  const [element, width] = useWidth<HTMLDivElement>();
  const { devices, findings, text: words } = shoot.value ?? { devices: [], findings: [], text: '' };
  const rows = devices.filter(({ clips }) => clips.length > 0);
  const left = width >= WIDE ? NAMES : 0;
  const { from, to } = shown.value;
  const room = Math.max(1, width - left);
  const toX = (second: number) => left + ((second - from) / (to - from)) * room;
  const toSecond = (x: number) => from + ((x - left) / room) * (to - from);
  const height = TOP + rows.length * ROW + 8;
  const barTop = (row: number) => TOP + row * ROW + (left > 0 ? (ROW - BAR) / 2 : NAME + 4);
  // The findings of each device by their numbers, each over the place in its row.
  const marks = rows.flatMap(({ key }, row) => {
    const own = findings.map(({ device, at }) => ({ second: device === key ? at : undefined }));
    const seen = squares(own, toX, 30).filter(({ x }) => x >= left && x <= width);
    return seen.map((square) => ({ square, y: barTop(row) }));
  });
  const noted = (shoot.value?.marks ?? []).flatMap(({ at }) => (at === undefined ? [] : [toX(at)]));
  const surface = useRef<HTMLDivElement>(null);
  const gestures = useGestures(surface, toSecond);
  return (
    <section>
      <h2>{text.shoot.rolling}</h2>
      <div class="drawing rolling" ref={element}>
        <svg width={width} height={height} role="img" aria-label={words}>
          <clipPath id="rolling-room">
            <rect x={left} y={0} width={room} height={height} />
          </clipPath>
          <DayAxis width={room} left={left} height={height} />
          {rows.map((device, index) => (
            <DeviceBars
              key={device.key}
              device={device}
              top={barTop(index)}
              left={left}
              toX={toX}
              window={{ from, to }}
            />
          ))}
          {noted
            .filter((x) => x >= left && x <= width)
            .map((x) => (
              <path key={x} class="mark-flag" d={`M${x} ${height - 6}V${TOP - 4}l7 4-7 4`} />
            ))}
          {marks.map(({ square, y }) => (
            <path
              key={`${square.x} ${y}`}
              class="finding-line"
              d={`M${square.x} ${y - 4}v${BAR + 8}`}
            />
          ))}
        </svg>
        <div
          ref={surface}
          class="hand rolling-hand"
          style={{ top: '0', left: `${left}px`, width: `${room}px`, height: `${height}px` }}
          role="slider"
          tabIndex={0}
          aria-label={text.shoot.moment}
          aria-valuemin={from}
          aria-valuemax={to}
          aria-valuenow={pointedAt.value ?? from}
          aria-valuetext={momentInWords(rows)}
          {...gestures}
        />
        {marks.map(({ square, y }) => (
          <SquareLink
            key={`${square.x} ${y}`}
            square={square}
            width={width}
            top={y - 37}
            prefix={prefix}
            pointed={pointed}
          />
        ))}
        <PointedLine toX={toX} left={left} width={width} height={height} />
      </div>
      <div class="rolling-foot">
        <p aria-live="off">
          {pointedAt.value === undefined ? text.shoot.momentHint : momentInWords(rows)}
        </p>
        <ZoomButtons />
      </div>
    </section>
  );
}

function ZoomButtons() {
  const middle = () => pointedAt.value ?? (shown.value.from + shown.value.to) / 2;
  return (
    <div class="zoom">
      <button type="button" aria-label={text.shoot.earlier} onClick={() => pan(-0.4)}>
        ‹
      </button>
      <button type="button" aria-label={text.shoot.closer} onClick={() => zoom(0.4, middle())}>
        +
      </button>
      <button type="button" aria-label={text.shoot.further} onClick={() => zoom(2.5, middle())}>
        −
      </button>
      <button type="button" aria-label={text.shoot.later} onClick={() => pan(0.4)}>
        ›
      </button>
      <button type="button" aria-disabled={isWhole.value} onClick={showWhole}>
        {text.shoot.whole}
      </button>
    </div>
  );
}

/** The address that is pointed at, and who rolled then. */
function momentInWords(rows: readonly Device[]): string {
  const at = pointedAt.value;
  const clock = oneClock.value;
  if (at === undefined || clock === undefined) return '';
  const rolling = rows.filter(({ clips }) => clips.some(({ from, to }) => at >= from && at < to));
  return text.shoot.at(
    clock.address(at),
    rolling.map(({ name }) => name),
    rows.length,
  );
}

type AxisProps = { width: number; left: number; height: number };

/** Round addresses above, with a line down through the rows. */
export function DayAxis({ width, left, height }: AxisProps) {
  const { from, to } = shown.value;
  // Below some minutes the labels have seconds, and frames.
  const label = to - from > 600 ? 72 : 112;
  const fits = Math.max(2, Math.floor(width / label));
  const ticks = oneClock.value?.ticks(from, to, fits).ticks ?? [];
  const toX = (second: number) => left + ((second - from) / (to - from)) * width;
  return (
    <g class="axis">
      {ticks.map(({ at, label }) => (
        <g key={at}>
          <path d={`M${Math.round(toX(at)) + 0.5} ${TOP - 8}V${height - 8}`} />
          <text x={toX(at)} y={TOP - 14} text-anchor={anchor(toX(at) - left, width)}>
            {label}
          </text>
        </g>
      ))}
    </g>
  );
}

function anchor(x: number, width: number): 'start' | 'middle' | 'end' {
  if (x < 44) return 'start';
  return x > width - 44 ? 'end' : 'middle';
}

type RowProps = {
  device: Device;
  /** Where its bars begin. */
  top: number;
  left: number;
  toX: (second: number) => number;
  window: { from: number; to: number };
};

/** A device's recordings: full where code was read, a thin line where it is missing, dotted where
 * no code speaks. */
function DeviceBars({ device, top, left, toX, window }: RowProps) {
  const seen = device.clips.filter(({ from, to }) => to >= window.from && from <= window.to);
  return (
    <g>
      <text class="rolling-name" x={0} y={left > 0 ? top + BAR - 2 : top - 16}>
        {shortened(device.name, left > 0 ? 17 : 40)}
      </text>
      <g clip-path="url(#rolling-room)">
        {seen.map(({ recording, from, to, read }) => (
          <g key={recording}>
            {read.length === 0 ? (
              <rect
                class="clip-silent"
                x={toX(from)}
                y={top + 1}
                width={wide(toX(to) - toX(from))}
                height={BAR - 2}
              />
            ) : (
              <rect
                class="clip"
                x={toX(from)}
                y={top + BAR / 2 - 1}
                width={wide(toX(to) - toX(from))}
                height={2}
              />
            )}
            {read.map(([begins, ends]) => (
              <rect
                key={begins}
                class="clip"
                x={toX(begins)}
                y={top}
                width={wide(toX(ends) - toX(begins))}
                height={BAR}
              />
            ))}
          </g>
        ))}
      </g>
    </g>
  );
}

/** What is shorter than a pixel is still seen. */
function wide(pixels: number): number {
  return Math.max(pixels, 1.5);
}

function shortened(name: string, letters: number): string {
  return name.length <= letters ? name : `${name.slice(0, letters - 1)}…`;
}

type PointedProps = {
  toX: (second: number) => number;
  left: number;
  width: number;
  height: number;
};

/** The moment that is pointed at, down through a drawing. */
export function PointedLine({ toX, left, width, height }: PointedProps) {
  const at = pointedAt.value;
  if (at === undefined) return null;
  const x = toX(at);
  if (x < left || x > width) return null;
  return (
    <span
      class="hand-line rolling-line"
      style={{ left: `${x}px`, top: `${TOP - 8}px`, height: `${height - TOP}px` }}
    />
  );
}
