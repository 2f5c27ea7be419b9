// Lines across a drawing at round numbers of frames.

/** Three to five of them around all that is drawn, zero among them, over `least` frames or more. */
export function levels(frames: readonly number[], least: number): number[] {
  const low = Math.min(-least / 2, ...frames);
  const high = Math.max(least / 2, ...frames);
  const span = high - low;
  const power = 10 ** Math.floor(Math.log10(span));
  const step =
    [0.2, 0.5, 1, 2, 5].map((part) => part * power).find((step) => span / step <= 4) ?? span;
  const from = Math.floor(low / step - 1e-9);
  const to = Math.ceil(high / step + 1e-9);
  return Array.from({ length: to - from + 1 }, (_, index) => (from + index) * step);
}

/** A number of frames as it stands beside a line. */
export function signed(frames: number): string {
  return `${withSign(frames)} f`;
}

/** A number as it stands beside a line, with its sign. */
export function withSign(value: number): string {
  const size = Number(Math.abs(value).toPrecision(2));
  if (size === 0) return '0';
  return `${value < 0 ? '−' : '+'}${size}`;
}
