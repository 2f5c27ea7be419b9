import { useSignal } from '@preact/signals';
import { text } from '../../../text/en';
import type { Codewords, Pointed } from '../codewords';
import { clock } from './axis';

type Props = {
  channel: number;
  seconds: number;
  width: number;
  top: number;
  height: number;
  codewords: Codewords;
};

/** A line across the drawing that points at a place: by pointer, finger or keys. */
export function Hand({ channel, seconds, width, top, height, codewords }: Props) {
  const held = useSignal(false);
  const anywhere = codewords.pointed.value;
  const pointed = anywhere?.channel === channel ? anywhere : undefined;
  const ask = (second: number) => codewords.ask({ channel, second });
  const secondAt = (event: PointerEvent) => {
    const element = event.currentTarget as HTMLElement;
    const part = (event.clientX - element.getBoundingClientRect().left) / width;
    return Math.min(1, Math.max(0, part)) * seconds;
  };
  const x = pointed === undefined || seconds === 0 ? 0 : (pointed.second / seconds) * width;
  const label = pointed?.codeword?.timecode ?? clock(pointed?.second ?? 0, 1);
  return (
    <div
      class="hand"
      style={{ top: `${top}px`, height: `${height}px` }}
      role="slider"
      tabIndex={0}
      aria-label={text.read.place}
      aria-valuemin={0}
      aria-valuemax={seconds}
      aria-valuenow={pointed?.second ?? 0}
      aria-valuetext={`${clock(pointed?.second ?? 0, 1)}, ${pointed?.codeword?.timecode ?? ''}`}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        held.value = true;
        ask(secondAt(event));
      }}
      onPointerMove={(event) => held.value && ask(secondAt(event))}
      onPointerUp={() => (held.value = false)}
      onPointerCancel={() => (held.value = false)}
      onKeyDown={(event) => {
        const to = keyTarget(event.key, seconds, pointed);
        if (to === undefined) return;
        event.preventDefault();
        ask(to);
      }}
    >
      {pointed !== undefined && (
        <span class="hand-line" style={{ left: `${x}px` }}>
          <span class={x > width / 2 ? 'hand-label hand-left' : 'hand-label'}>{label}</span>
        </span>
      )}
    </div>
  );
}

/** Where a key leads: a codeword on or back with the arrows, a twentieth with the page keys. */
function keyTarget(key: string, seconds: number, pointed: Pointed | undefined): number | undefined {
  const at = pointed?.second ?? 0;
  const codeword = pointed?.codeword;
  const part = seconds / 20;
  switch (key) {
    case 'ArrowRight':
    case 'ArrowUp':
      return codeword?.next ?? Math.min(seconds, at + part / 5);
    case 'ArrowLeft':
    case 'ArrowDown':
      return codeword?.previous ?? Math.max(0, at - part / 5);
    case 'PageUp':
      return Math.min(seconds, at + part);
    case 'PageDown':
      return Math.max(0, at - part);
    case 'Home':
      return 0;
    case 'End':
      return seconds;
    default:
      return undefined;
  }
}
