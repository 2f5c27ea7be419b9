/** A square in the drawing: the findings at one place, and where it stands. */
export type Square = { x: number; numbers: number[] };

/** Squares for the findings that have a place. Those too near to tell apart share one. */
export function squares(
  findings: readonly { second?: number | undefined }[],
  toX: (second: number) => number,
  apart: number,
): Square[] {
  const placed = findings
    .flatMap(({ second }, index) =>
      second === undefined ? [] : [{ x: toX(second), number: index + 1 }],
    )
    .sort((a, b) => a.x - b.x);
  const result: Square[] = [];
  for (const { x, number } of placed) {
    const last = result.at(-1);
    if (last !== undefined && x - last.x < apart) last.numbers.push(number);
    else result.push({ x, numbers: [number] });
  }
  return result;
}

/** Numbers as they stand in a square: "3", "3–5", "3, 7". */
export function inSquare(numbers: readonly number[]): string {
  const sorted = [...numbers].sort((a, b) => a - b);
  const first = sorted[0] ?? 0;
  const last = sorted.at(-1) ?? first;
  if (sorted.length === 1) return `${first}`;
  return last - first === sorted.length - 1 ? `${first}–${last}` : `${first}, ${sorted[1]}…`;
}
