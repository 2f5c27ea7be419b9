import type { Signal } from '@preact/signals';
import type { Code } from '../code';
import type { Codewords } from '../codewords';
import { ticks } from './axis';
import { Hand } from './hand';
import { squares } from './numbers';
import { SquareLink } from './square';
import { useWidth } from './width';

type Props = {
  code: Code;
  seconds: number;
  prefix: string;
  pointed: Signal<number | undefined>;
  codewords: Codewords;
};

/** Where the squares end and the bars begin, how high these are, and where the axis is. */
const SQUARES = 30;
const BAR = 10;
/** A break too short for the width is still seen. */
const BREAK = 2.5;
const STEP = 18;
const ROOM = 54;
const AXIS = 30;

/** The code along the recording: a bar for each run, a step for each jump. */
export function CodeDrawing({ code, seconds, prefix, pointed, codewords }: Props) {
  const { drawing, findings } = code;
  const [element, width] = useWidth<HTMLDivElement>();
  const toX = (second: number) => (seconds > 0 ? (second / seconds) * width : 0);
  const height = SQUARES + ROOM + AXIS;
  const marks = squares(findings, toX, 26);
  return (
    <div class="drawing" ref={element}>
      <svg width={width} height={height} role="img" aria-label={drawing.text}>
        <Backwards id={`${prefix}-backwards`} />
        <Axis seconds={seconds} width={width} y={SQUARES + ROOM} />
        <Bars bars={drawing.bars} toX={toX} hatching={`url(#${prefix}-backwards)`} />
        {marks.map(({ x }) => (
          <path key={x} class="finding-line" d={`M${x} ${SQUARES - 4}V${SQUARES + ROOM - 6}`} />
        ))}
      </svg>
      <Hand
        channel={code.channel}
        seconds={seconds}
        width={width}
        top={SQUARES}
        height={ROOM}
        codewords={codewords}
      />
      {marks.map((square) => (
        <SquareLink
          key={square.x}
          square={square}
          width={width}
          top={-9}
          prefix={prefix}
          pointed={pointed}
        />
      ))}
    </div>
  );
}

function Axis({ seconds, width, y }: { seconds: number; width: number; y: number }) {
  return (
    <g class="axis">
      <path d={`M0 ${y + 0.5}H${width}`} />
      {ticks(seconds, width, 84).map(({ x, label }) => (
        <g key={label}>
          <path d={`M${Math.min(x, width - 0.5)} ${y}v6`} />
          <text x={x} y={y + 21} text-anchor={anchor(x, width)}>
            {label}
          </text>
        </g>
      ))}
    </g>
  );
}

function anchor(x: number, width: number): 'start' | 'middle' | 'end' {
  if (x < 20) return 'start';
  return x > width - 24 ? 'end' : 'middle';
}

/** Hatching that leans against the direction of time. */
function Backwards({ id }: { id: string }) {
  return (
    <defs>
      <pattern id={id} width="9" height={BAR} patternUnits="userSpaceOnUse">
        <path class="backwards" d={`M7 0L2 ${BAR / 2}L7 ${BAR}`} />
      </pattern>
    </defs>
  );
}

type BarsProps = {
  bars: Code['drawing']['bars'];
  toX: (second: number) => number;
  hatching: string;
};

function Bars({ bars, toX, hatching }: BarsProps) {
  const steps = bars.map(({ step }) => step);
  const highest = Math.max(0, ...steps);
  const range = highest - Math.min(0, ...steps);
  // Many jumps share the room: the steps become lower, never the drawing higher.
  const rise = range === 0 ? 0 : Math.min(STEP, (ROOM - BAR - 14) / range);
  const base = SQUARES + (ROOM - BAR - range * rise) / 2 + 2;
  return (
    <g>
      {bars.map((bar, index) => {
        const x = toX(bar.from) + (index === 0 ? 0 : BREAK);
        return (
          <rect
            key={bar.from}
            class={bar.reverse ? 'bar bar-reverse' : 'bar'}
            fill={bar.reverse ? hatching : undefined}
            x={x}
            y={base + (highest - bar.step) * rise}
            width={Math.max(1, toX(bar.to) - x - (index === bars.length - 1 ? 0 : BREAK))}
            height={BAR}
          />
        );
      })}
    </g>
  );
}
