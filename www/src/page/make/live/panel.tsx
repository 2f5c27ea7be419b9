import { awakeInWords, flashInWords, latencyInWords, live as words } from '../../../text/en-live';
import { held } from '../../listen/held';
import { awake } from './awake';
import { Digits, WhiteScreen } from './digits';
import { account, askForFlash, flashes, jam, phase } from './playing';

/** The address, large. */
export function Address() {
  return (
    <p class="live-address">
      <span class="live-label">{words.address}</span>
      <Digits />
    </p>
  );
}

/** How the code keeps, and what can be done while it plays. */
export function Panel({ openSlate }: { openSlate: () => void }) {
  const isTold = flashes.value.length > 0 || beeps();
  return (
    <>
      <Account />
      <div class="actions">
        <button type="button" aria-label={words.jamWhat} onClick={() => void jam('time-of-day')}>
          {words.jam}
        </button>
        {held.value !== undefined && (
          <button type="button" aria-label={words.jamHeldWhat} onClick={() => void jam('held')}>
            {words.jamHeld}
          </button>
        )}
        <FlashButton />
        <button type="button" onClick={openSlate}>
          {words.slate}
        </button>
      </div>
      {isTold && <p class="live-account">{words.flashWords}</p>}
      <Flashes />
      <WhiteScreen />
    </>
  );
}

/** What is allowed for, what can't be known, and how the clocks keep. */
function Account() {
  const lines = [
    account.value === undefined ? '' : latencyInWords(account.value.latency),
    account.value?.parted ?? '',
    awakeInWords(awake.value),
  ];
  return (
    <div class="live-account">
      {lines
        .filter((line) => line !== '')
        .map((line) => (
          <p key={line}>{line}</p>
        ))}
    </div>
  );
}

export function FlashButton() {
  return (
    <button type="button" onClick={askForFlash}>
      {beeps() ? words.flashAndBeep : words.flash}
    </button>
  );
}

function beeps(): boolean {
  return phase.value.is === 'playing' && phase.value.heard === 'beeps';
}

/** The addresses to be noted. */
export function Flashes() {
  if (flashes.value.length === 0) return null;
  return (
    <div class="flashes">
      <h3 id="live-flashes">{words.flashes}</h3>
      <ol aria-labelledby="live-flashes">
        {flashes.value.map((flash) => (
          <li key={flash.sample}>
            <span class="flash-address">{flash.address}</span> {flashInWords(flash)}
          </li>
        ))}
      </ol>
    </div>
  );
}
