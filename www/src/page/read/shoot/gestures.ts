// How a hand moves through the day: wheel, pointer, two fingers and keys.

import type { RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { oneClock } from './clock';
import { pan, pointedAt, reveal, shown, showWhole, zoom } from './window';

/** How much a turn of the wheel by one pixel changes. */
const WHEEL = 0.003;
/** A press that moves less than this many pixels points; one that moves more pulls. */
const STILL = 5;

/** The handlers of a surface whose pixels `toSecond` turns into seconds on the clock. */
export function useGestures(
  surface: RefObject<HTMLElement | null>,
  toSecond: (x: number) => number,
): {
  onPointerDown: (event: PointerEvent) => void;
  onPointerMove: (event: PointerEvent) => void;
  onPointerUp: (event: PointerEvent) => void;
  onPointerCancel: (event: PointerEvent) => void;
  onKeyDown: (event: KeyboardEvent) => void;
} {
  const fingers = useRef(new Map<number, { x: number; began: number }>());
  const latest = useRef(toSecond);
  latest.current = toSecond;
  useWheel(surface, latest);
  const secondAt = (x: number) => {
    const element = surface.current;
    if (element === null) return 0;
    return latest.current(x - element.getBoundingClientRect().left + element.offsetLeft);
  };
  const widthOf = () => surface.current?.clientWidth ?? 1;
  const lift = (event: PointerEvent) => {
    const finger = fingers.current.get(event.pointerId);
    fingers.current.delete(event.pointerId);
    const still = finger !== undefined && Math.abs(event.clientX - finger.began) < STILL;
    if (event.type === 'pointerup' && still) pointedAt.value = secondAt(event.clientX);
  };
  return {
    onPointerDown: (event) => {
      surface.current?.setPointerCapture(event.pointerId);
      fingers.current.set(event.pointerId, { x: event.clientX, began: event.clientX });
    },
    onPointerMove: (event) => {
      const finger = fingers.current.get(event.pointerId);
      if (finger === undefined) {
        if (event.pointerType === 'mouse') pointedAt.value = secondAt(event.clientX);
        return;
      }
      const others = [...fingers.current.entries()].filter(([id]) => id !== event.pointerId);
      const other = others[0]?.[1];
      if (other === undefined) pan((finger.x - event.clientX) / widthOf());
      else pinch(other.x, finger.x, event.clientX, secondAt);
      finger.x = event.clientX;
    },
    onPointerUp: lift,
    onPointerCancel: lift,
    onKeyDown: (event) => {
      if (!key(event.key)) return;
      event.preventDefault();
    },
  };
}

/** Two fingers: what stands under the resting one stays there. */
function pinch(rest: number, before: number, now: number, secondAt: (x: number) => number): void {
  const [was, is] = [Math.abs(before - rest), Math.abs(now - rest)];
  if (was > 8 && is > 8) zoom(was / is, secondAt(rest));
}

/** The wheel zooms with a modifier key, as a trackpad's pinch does, and pans sideways. */
function useWheel(
  surface: RefObject<HTMLElement | null>,
  toSecond: RefObject<(x: number) => number>,
): void {
  useEffect(() => {
    const element = surface.current;
    if (element === null) return undefined;
    const turn = (event: WheelEvent) => {
      const sideways = Math.abs(event.deltaX) > Math.abs(event.deltaY);
      if (!event.ctrlKey && !event.metaKey && !sideways && !event.shiftKey) return;
      event.preventDefault();
      if (event.ctrlKey || event.metaKey) {
        const x = event.clientX - element.getBoundingClientRect().left + element.offsetLeft;
        zoom(Math.exp(event.deltaY * WHEEL), toSecond.current?.(x) ?? 0);
      } else pan((sideways ? event.deltaX : event.deltaY) / element.clientWidth);
    };
    element.addEventListener('wheel', turn, { passive: false });
    return () => element.removeEventListener('wheel', turn);
  }, []);
}

/** What a key does; false where it does nothing. */
function key(name: string): boolean {
  const { from, to } = shown.value;
  const at = pointedAt.value ?? (from + to) / 2;
  const frame = oneClock.value?.frame() ?? 0.04;
  const step = Math.max((to - from) / 100, frame);
  const point = (second: number) => {
    pointedAt.value = second;
    reveal(second);
  };
  const does: Record<string, () => void> = {
    ArrowRight: () => point(at + step),
    ArrowUp: () => point(at + step),
    ArrowLeft: () => point(at - step),
    ArrowDown: () => point(at - step),
    PageUp: () => pan(0.8),
    PageDown: () => pan(-0.8),
    Home: showWhole,
    '+': () => zoom(0.5, at),
    '=': () => zoom(0.5, at),
    '-': () => zoom(2, at),
  };
  const action = does[name];
  action?.();
  return action !== undefined;
}
