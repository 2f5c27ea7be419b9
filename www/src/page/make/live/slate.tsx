import { useEffect, useRef } from 'preact/hooks';
import { live as words } from '../../../text/en-live';
import { Digits, WhiteScreen } from './digits';
import { FlashButton, Flashes } from './panel';
import { stop } from './playing';

/** The address as large as the screen, and the flash. */
export function Slate({ close }: { close: () => void }) {
  const element = useRef<HTMLDivElement>(null);
  useEffect(() => fillScreen(element.current!, close), []);
  return (
    <div class="slate" ref={element} role="dialog" aria-modal="true" aria-label={words.slateTitle}>
      <p class="slate-address">
        <Digits />
      </p>
      <div class="actions">
        <button type="button" class="main" onClick={() => stop()}>
          {words.stop}
        </button>
        <FlashButton />
        <button type="button" onClick={close}>
          {words.leaveSlate}
        </button>
      </div>
      <Flashes />
      <WhiteScreen />
    </div>
  );
}

/** Fills the whole screen where the browser can, else the window; gives the way back. */
function fillScreen(element: HTMLElement, close: () => void): () => void {
  const before = document.activeElement;
  element.querySelector<HTMLElement>('button')?.focus();
  const left = () => {
    if (document.fullscreenElement === null) close();
  };
  // Phones may not know how, or refuse: then it fills the window.
  (element as Partial<HTMLElement>).requestFullscreen
    ?.call(element)
    .then(() => document.addEventListener('fullscreenchange', left))
    .catch(() => undefined);
  return () => {
    document.removeEventListener('fullscreenchange', left);
    if (document.fullscreenElement === element) void document.exitFullscreen();
    if (before instanceof HTMLElement) before.focus();
  };
}
