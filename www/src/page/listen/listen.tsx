import {
  LISTEN_CAUTIONS,
  listen as words,
  missingInWords,
  stoppedInWords,
} from '../../text/en-listen';
import { Aloud } from '../aloud';
import { Choice } from '../make/live/choice';
import { stoppedAloud, StoppedBecause } from '../stopped';
import { VerdictWords } from '../verdict';
import { ChannelSection } from './channel';
import { chosen, heard, inputs, listen, phase, record, recording, stop } from './hearing';
import { RecordingView } from './recording-view';
import { HeldSection } from './held-section';
import { PlanSection } from './plan-section';
import { Marks } from './marks-section';
import { Way } from './way';

/** The place Listen. */
export function Listen() {
  const now = heard.value;
  const codes = now?.channels.filter(({ hearing }) => hearing !== 'nothing') ?? [];
  // Where there is no code, the first channel says what comes in.
  const shown = codes.length > 0 ? codes : (now?.channels.slice(0, 1) ?? []);
  return (
    <div class="paper">
      <article class="sheet listen">
        <Head />
        <Ended />
        {phase.value.is === 'still' && <p class="explanation">{words.explanation}</p>}
        <Controls />
        <RecordingView />
        {shown.map((channel) => (
          <ChannelSection key={channel.channel} channel={channel} alone={shown.length === 1} />
        ))}
        {now !== undefined && now.missing > 0 && (
          <p class="missing-sound">{missingInWords(now.missing)}</p>
        )}
        <HeldSection />
        <Marks />
        <PlanSection />
        <Way />
        <ul class="cautions">
          {LISTEN_CAUTIONS.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      </article>
      <Aloud said={aloud()} />
    </div>
  );
}

function Head() {
  const now = phase.value;
  const verdict = heard.value?.verdict;
  return (
    <>
      <div class="file-line">
        <p>{words.title}</p>
        <p class="file-name">{now.is === 'listening' ? now.about.label : ''}</p>
      </div>
      <h1 class="verdict">
        {now.is === 'starting' ? (
          words.starting
        ) : now.is === 'still' || verdict === undefined ? (
          words.waiting
        ) : (
          <VerdictWords verdict={verdict} />
        )}
      </h1>
    </>
  );
}

/** Why listening ended. */
function Ended() {
  const now = phase.value;
  const ended = now.is === 'still' ? now.ended : undefined;
  return <StoppedBecause why={ended && stoppedInWords(ended)} />;
}

/** Which input, and the way in and out. One button, so that it keeps the focus. */
function Controls() {
  const still = phase.value.is === 'still';
  return (
    <div class="live-controls">
      {still && inputs.value.length > 0 && <Inputs />}
      <div class="actions">
        <button type="button" class="main" onClick={() => (still ? void listen() : stop())}>
          {still ? words.start : words.stop}
        </button>
        {heard.value !== undefined && !still && (
          <button type="button" onClick={record}>
            {recording.value.is === 'on' ? words.endRecord : words.record}
          </button>
        )}
      </div>
    </div>
  );
}

function Inputs() {
  const names = inputs.value.map(({ deviceId, label }): [string, string] => [deviceId, label]);
  return (
    <Choice
      label={words.input}
      chosen={chosen}
      choices={Object.fromEntries([['', words.systemInput], ...names])}
      note={undefined}
    />
  );
}

/** What changes seldom, for those who hear the page. */
function aloud(): string {
  const now = phase.value;
  if (now.is === 'starting') return words.starting;
  if (now.is === 'still') {
    return now.ended === undefined ? '' : stoppedAloud(stoppedInWords(now.ended));
  }
  const said = heard.value?.channels.map(({ title, hearing, departures }) =>
    [
      `${title}: ${words.hearing[hearing]}.`,
      ...departures.map(({ what }) => words.departs(what)),
    ].join(' '),
  );
  return said?.join(' ') ?? '';
}
