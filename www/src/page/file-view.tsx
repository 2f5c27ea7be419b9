import type { Outcome } from '../protocol/make';
import { fileSize } from '../text/en';
import { type JobWords, saveIt } from '../text/en-files';
import type { Job, Phase } from './file-job';
import { percent, ProgressBar } from './progress';
import { Trouble } from './trouble';

type Props = { job: Job; words: JobWords; stop: () => void };

/** How a file gets on, and what reading it back proves. */
export function JobView({ job: { name, phase }, words, stop }: Props) {
  switch (phase.is) {
    case 'nothing':
      return null;
    case 'writing':
      return <Busy title={words.writing(name)} phase={phase} stop={stop} />;
    case 'reading-back':
      return (
        <>
          <Standing title={words.whole(name, fileSize(phase.file.bytes))} />
          <Busy title={words.readingBack(name)} phase={phase} stop={stop} />
        </>
      );
    case 'made':
      return (
        <>
          <Standing title={words.whole(name, fileSize(phase.file.bytes))} />
          <OutcomeView outcome={phase.outcome} words={words} />
        </>
      );
    case 'unproved':
      return (
        <>
          <Standing title={words.whole(name, fileSize(phase.file.bytes))} />
          <p>{words.unproved}</p>
          {phase.problem !== undefined && <Trouble {...words.problem(phase.problem)} />}
        </>
      );
    case 'stopped':
      return <h3>{words.stopped(name)}</h3>;
    case 'failed':
      return (
        <>
          <h3>{words.failed(name)}</h3>
          <Trouble {...words.problem(phase.problem)} />
        </>
      );
  }
}

type BusyPhase = Extract<Phase, { since: number }>;

type BusyProps = { title: string; phase: BusyPhase; stop: () => void };

function Busy({ title, phase, stop }: BusyProps) {
  return (
    <>
      <p>{title}</p>
      <ProgressBar label={title} progress={phase.progress} since={phase.since} stop={stop} />
    </>
  );
}

function Standing({ title }: { title: string }) {
  return <h3>{title}</h3>;
}

/** What reading the file back says, and what follows from it. */
function OutcomeView({ outcome, words }: { outcome: Outcome; words: JobWords }) {
  const { as_asked: asAsked, text, remedy } = outcome;
  const notes = 'notes' in outcome ? outcome.notes : [];
  return (
    <>
      <p class="outcome">
        {asAsked === 'no' && <strong class="wrong">{words.notRight} </strong>}
        {text}
      </p>
      {asAsked === 'yes' ? <p class="proves">{words.proves}</p> : <p class="remedy">{remedy}</p>}
      {notes.map((note) => (
        <p key={note} class="proves">
          {note}
        </p>
      ))}
    </>
  );
}

/** The way to a file that is kept in the page until somebody saves it. */
export function SaveIt({ job: { name, phase } }: { job: Job }) {
  const address = 'file' in phase ? phase.file.address : undefined;
  if (address === undefined) return null;
  return (
    <a class="button main" href={address} download={name}>
      {saveIt}
    </a>
  );
}

/** How a file gets on, for those who hear the page. */
export function aloud({ name, phase }: Job, words: JobWords): string {
  switch (phase.is) {
    case 'nothing':
      return '';
    case 'writing':
      return `${words.writing(name)}, ${quarters(phase)}`;
    case 'reading-back':
      return `${words.readingBack(name)}, ${quarters(phase)}`;
    case 'made':
      return phase.outcome.text;
    case 'unproved':
      return words.unproved;
    case 'stopped':
      return words.stopped(name);
    case 'failed':
      return `${words.failed(name)} ${words.problem(phase.problem).text}`;
  }
}

/** The progress in steps that are worth hearing. */
function quarters({ progress }: BusyPhase): string {
  return `${Math.floor(percent(progress) / 25) * 25} %`;
}
