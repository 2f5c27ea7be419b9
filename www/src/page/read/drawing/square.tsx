import type { Signal } from '@preact/signals';
import { text } from '../../../text/en';
import { goToFinding } from '../findings';
import { inSquare, type Square } from './numbers';

type SquareProps = {
  square: Square;
  width: number;
  /** Where the square hangs, in pixels from the drawing's upper edge. */
  top: number;
  prefix: string;
  pointed: Signal<number | undefined>;
};

/** A numbered square: leads to its finding, and shows which it is. */
export function SquareLink({ square, width, top, prefix, pointed }: SquareProps) {
  const { numbers } = square;
  const first = numbers[0] ?? 1;
  const here = pointed.value !== undefined && numbers.includes(pointed.value);
  const goTo = () => {
    goToFinding(prefix, first);
    pointed.value = first;
  };
  return (
    <button
      type="button"
      class={here ? 'square pointed' : 'square'}
      style={{ top: `${top}px`, left: `${Math.min(Math.max(square.x, 12), width - 12)}px` }}
      aria-label={`${text.read.findings} ${inSquare(numbers)}`}
      onClick={goTo}
      onPointerEnter={() => (pointed.value = first)}
      onPointerLeave={() => (pointed.value = undefined)}
      onFocus={() => (pointed.value = first)}
      onBlur={() => (pointed.value = undefined)}
    >
      <span class="number">{inSquare(numbers)}</span>
    </button>
  );
}
