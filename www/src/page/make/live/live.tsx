import { useSignal } from '@preact/signals';
import type { Settings } from '../../../protocol/make';
import { CAUTIONS } from '../../../text/en-make';
import { endedInWords, live as words } from '../../../text/en-live';
import { held } from '../../listen/held';
import { stoppedAloud, StoppedBecause } from '../../stopped';
import { Choice } from './choice';
import { Level } from './level';
import type { Ended } from './ended';
import type { From } from './run';
import { Address, Panel } from './panel';
import { flashes, from, heard, type Phase, phase, start, stop } from './playing';
import { Slate } from './slate';

type Props = { settings: Settings };

/** Code out of this device: starting it, what must be known before, and how it gets on. */
export function Live({ settings }: Props) {
  const slate = useSignal(false);
  const now = phase.value;
  const playing = now.is === 'playing';
  return (
    <section class="live" aria-labelledby="live-title">
      <h2 id="live-title" tabIndex={-1}>
        {words.title}
      </h2>
      <div class="ruled">
        {playing ? <Address /> : <Before ended={now.is === 'still' ? now.ended : undefined} />}
        <div class="live-controls">
          <Level />
          <div class="actions">
            <StartOrStop phase={now} settings={settings} />
            {playing && <p class="hint">{words.escape}</p>}
          </div>
        </div>
        {playing && <Panel openSlate={() => (slate.value = true)} />}
        {playing && <Cautions />}
      </div>
      {playing && slate.value && <Slate close={() => (slate.value = false)} />}
      <p class="visually-hidden" role="status">
        {aloud(now)}
      </p>
      <p class="visually-hidden" role="status">
        {playing ? lastFlash() : ''}
      </p>
    </section>
  );
}

/** One button, so that it keeps the focus. */
function StartOrStop({ phase: now, settings }: { phase: Phase; settings: Settings }) {
  const still = now.is === 'still';
  return (
    <button
      type="button"
      class="main"
      aria-keyshortcuts={still ? undefined : 'Escape'}
      onClick={() => (still ? void start(settings) : stop())}
    >
      {still ? words.start : words.stop}
    </button>
  );
}

/** What is told and chosen before a start. */
function Before({ ended }: { ended: Ended | undefined }) {
  return (
    <>
      <p class="explanation">{words.explanation}</p>
      <StoppedBecause why={ended && endedInWords(ended)} />
      <div class="field-grid">
        <Choice label={words.from} chosen={from} choices={choices()} note={NOTES[from.value]} />
        <Choice
          label={words.heard}
          chosen={heard}
          choices={{ code: words.heardCode, beeps: words.heardBeeps }}
          note={heard.value === 'beeps' ? words.heardBeepsNote : undefined}
        />
      </div>
      <Cautions />
    </>
  );
}

const NOTES: Record<From, string> = {
  typed: words.fromTypedNote,
  'time-of-day': words.fromClockNote,
  held: words.fromHeldNote,
};

/** What code can start from: a clock only while it is held. */
function choices(): Partial<Record<From, string>> {
  const always = { typed: words.fromTyped, 'time-of-day': words.fromClock };
  return held.value === undefined && from.value !== 'held'
    ? always
    : { ...always, held: words.fromHeld };
}

function Cautions() {
  return (
    <ul class="cautions">
      {CAUTIONS.map((caution) => (
        <li key={caution}>{caution}</li>
      ))}
    </ul>
  );
}

function lastFlash(): string {
  const last = flashes.value.at(-1);
  return last === undefined ? '' : `${words.flash} ${last.address}`;
}

function aloud(now: Phase): string {
  switch (now.is) {
    case 'starting':
      return words.starting;
    case 'playing':
      return now.heard === 'code' ? words.playing : words.beeping;
    case 'still':
      return now.ended === undefined ? '' : stoppedAloud(endedInWords(now.ended));
  }
}
