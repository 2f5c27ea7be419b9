// The axis of a drawing: the recording's own clock, from 0 to its length.

/** Distances between ticks that read well, in seconds. */
const STEPS = [
  0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14_400, 21_600,
  43_200, 86_400,
];

export type Tick = { x: number; label: string };

/** Ticks for a recording of `seconds` on `width` pixels, none nearer to the next than `apart`. */
export function ticks(seconds: number, width: number, apart: number): Tick[] {
  if (!(seconds > 0) || !(width > 0)) return [];
  const step = STEPS.find((step) => (step / seconds) * width >= apart) ?? seconds;
  const decimals = step < 1 ? 1 : 0;
  const count = Math.floor(seconds / step + 1e-9);
  const all = Array.from({ length: count + 1 }, (_, index) => ({
    x: ((index * step) / seconds) * width,
    label: clock(index * step, decimals),
  }));
  // The last label is pushed back from the edge: the one before it gives way.
  const last = all.at(-1);
  return all.filter(
    ({ x }) => x === last?.x || last === undefined || x < room(last.x, width, apart),
  );
}

function room(last: number, width: number, apart: number): number {
  return last > width - apart / 3 ? last - apart * 1.1 : last;
}

/** A place in a recording as its own clock has it: minutes and seconds, hours where there are any. */
export function clock(seconds: number, decimals: number): string {
  const scale = 10 ** decimals;
  const rounded = Math.round(seconds * scale) / scale;
  const hours = Math.floor(rounded / 3600);
  const minutes = Math.floor((rounded % 3600) / 60);
  const rest = (rounded % 60).toFixed(decimals).padStart(decimals === 0 ? 2 : 3 + decimals, '0');
  return hours === 0
    ? `${minutes}:${rest}`
    : `${hours}:${String(minutes).padStart(2, '0')}:${rest}`;
}
