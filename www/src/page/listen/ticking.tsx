import { useEffect, useRef } from 'preact/hooks';
import type { Ticking } from '../../protocol/listen';
import { listen as words } from '../../text/en-listen';
import { pageModule } from '../module';

/** The address of code, at every picture that the screen shows. It changes too often to be read
 * aloud: screen readers ask for it. */
export function TickingDigits({ ticking }: { ticking: Ticking | undefined }) {
  const element = useRef<HTMLSpanElement>(null);
  const latest = useRef(ticking);
  latest.current = ticking;
  useEffect(() => follow(element.current!, () => latest.current), []);
  return <span class="digits" role="timer" aria-live="off" ref={element} />;
}

function follow(element: HTMLElement, ticking: () => Ticking | undefined): () => void {
  const off = new AbortController();
  void pageModule().then((module) => {
    let before = 0;
    const show = (now: number) => {
      if (off.signal.aborted) return;
      // What is drawn now is seen at the next picture.
      const seen = performance.now() + Math.max(0, now - before > 100 ? 0 : now - before);
      before = now;
      const clock = ticking();
      const address = clock === undefined ? words.noAddress : module.ticking_address(clock, seen);
      if (element.textContent !== address) element.textContent = address;
      requestAnimationFrame(show);
    };
    requestAnimationFrame(show);
  });
  return () => off.abort();
}
