import { useEffect, useRef } from 'preact/hooks';
import type { Ticking } from '../../protocol/listen';
import { listen as words } from '../../text/en-listen';
import { type PageModule, pageModule } from '../module';
import { beforeEachPicture } from '../pictures';

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
  let end = () => {};
  const show = ({ ticking_address }: PageModule) => {
    end = beforeEachPicture((ahead) => {
      const clock = ticking();
      const seen = performance.now() + ahead;
      const address = clock === undefined ? words.noAddress : ticking_address(clock, seen);
      if (element.textContent !== address) element.textContent = address;
    });
  };
  let wanted = true;
  void pageModule().then((module) => wanted && show(module));
  return () => {
    wanted = false;
    end();
  };
}
