import { computed } from '@preact/signals';
import { make } from '../../../text/en-make';
import { atOutput } from './frames';
import { flashing } from './playing';

const address = computed(() => atOutput.value?.address ?? make.noAddress);

/** The address at the output. It changes too often to be read aloud: screen readers ask for it. */
export function Digits() {
  return (
    <span class="digits" role="timer" aria-live="off">
      {address}
    </span>
  );
}

/** White for the frame of a flash, with its address in black. */
export function WhiteScreen() {
  if (!flashing.value) return null;
  return (
    <div class="white-screen" aria-hidden="true">
      {address}
    </div>
  );
}
