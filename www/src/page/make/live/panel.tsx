import { awakeInWords, flashInWords, latencyInWords, live as words } from '../../../text/en-live';
import { make } from '../../../text/en-make';
import { awake } from './awake';
import { Digits, WhiteScreen } from './digits';
import { account, askForFlash, flashes, jam, phase } from './playing';

/** What is shown while code plays: the address, how it keeps, and what can be done. */
export function Panel({ openSlate }: { openSlate: () => void }) {
  return (
    <>
      <p class="live-address">
        <span class="live-label">{words.address}</span>
        <Digits />
      </p>
      <Account />
      <div class="actions">
        <button type="button" aria-label={words.jamWhat} onClick={() => void jam()}>
          {words.jam}
        </button>
        <FlashButton />
        <button type="button" onClick={openSlate}>
          {words.slate}
        </button>
      </div>
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
  const now = phase.value;
  const beeps = now.is === 'playing' && now.heard === 'beeps';
  return (
    <button type="button" onClick={askForFlash}>
      {beeps ? words.flashAndBeep : words.flash}
    </button>
  );
}

/** The addresses to be noted. */
export function Flashes() {
  if (flashes.value.length === 0) return null;
  return (
    <div class="flashes">
      <h3 id="live-flashes">{words.flashes}</h3>
      <p class="note">{words.flashWords}</p>
      <ol aria-labelledby="live-flashes">
        {flashes.value.map((flash) => (
          <li key={flash.sample}>
            <span class="flash-address">{flash.address}</span> {flashInWords(flash)}
          </li>
        ))}
      </ol>
      <p class="visually-hidden" role="status">
        {`${words.flash} ${flashes.value.at(-1)?.address ?? make.noAddress}`}
      </p>
    </div>
  );
}
