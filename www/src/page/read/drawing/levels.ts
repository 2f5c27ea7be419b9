// Lines across a drawing at round numbers of frames.

/** The most of them that are drawn: with more, a small drawing is all lines. */
const MOST = 5;

/** Three to five of them around all that is drawn, zero among them, over `least` frames or more. */
export function levels(frames: readonly number[], least: number): number[] {
  const low = Math.min(-least / 2, ...frames);
  const high = Math.max(least / 2, ...frames);
  // A line that all but touches what is drawn will do.
  const below = (step: number) => Math.floor(low / step + 1e-9);
  const above = (step: number) => Math.ceil(high / step - 1e-9);
  const fits = (step: number) => above(step) - below(step) < MOST;
  const step = roundSteps(high - low).find(fits) ?? high - low;
  return Array.from(
    { length: above(step) - below(step) + 1 },
    (_, index) => (below(step) + index) * step,
  );
}

/** Steps that read well, from a tenth of a span to ten of it. */
function roundSteps(span: number): number[] {
  const power = Math.floor(Math.log10(span));
  return [power - 1, power, power + 1].flatMap((power) =>
    [1, 2, 5].map((part) => part * 10 ** power),
  );
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
