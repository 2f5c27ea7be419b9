import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { listen as words } from '../../text/en-listen';
import type { HeldNow } from '../../wasm/plumbline';
import { pageModule } from '../module';
import { held, letGo, timeOfDayAhead } from './held';
import { addMarkOfHeld } from './marks';
import { TickingDigits } from './ticking';

/** Milliseconds between two accounts. */
const BETWEEN = 1000;

/** The clock that was set from code: its address, how long ago, how far off by now. */
export function HeldSection() {
  const clock = held.value;
  const said = useSignal<HeldNow | undefined>(undefined);
  useEffect(() => {
    if (clock === undefined) return undefined;
    const say = async () => {
      said.value = (await pageModule()).held_now(clock, performance.now(), timeOfDayAhead());
    };
    void say();
    const timer = setInterval(() => void say(), BETWEEN);
    return () => clearInterval(timer);
  }, [clock]);
  if (clock === undefined) return null;
  return (
    <section class="held" aria-labelledby="held-title">
      <h2 id="held-title">{words.heldTitle}</h2>
      <div class="ruled">
        <p class="live-address">
          <TickingDigits ticking={clock.ticking} />
        </p>
        <p>{said.value?.since}</p>
        {clock.drifted !== undefined && <p role="status">{clock.drifted}</p>}
        {said.value?.trouble === undefined ? (
          <p>{said.value?.off}</p>
        ) : (
          <p class="departure" role="alert">
            <em class="mark">{said.value.trouble}</em>
          </p>
        )}
        <p class="hint">{words.heldExplanation}</p>
        <div class="actions">
          <button type="button" aria-keyshortcuts="Space" onClick={() => void addMarkOfHeld()}>
            {words.mark}
          </button>
          <button type="button" onClick={letGo}>
            {words.letGo}
          </button>
        </div>
      </div>
    </section>
  );
}
