import type { Outcome } from '../../protocol/make';
import { fileSize } from '../../text/en';
import { SOUND_CAUTIONS, make as words, makeProblemInWords } from '../../text/en-make';
import { ProgressBar } from '../progress';
import { Trouble } from '../trouble';
import { isBusy, type Job, job, type MadeFile, type Phase, save, savesStraight, stop } from './job';
import { makeable, wrong } from './settings';

/** The tone as a file: making it, reading it back, and what that proves. */
export function ToFile() {
  return (
    <section class="to-file" aria-labelledby="to-file-title">
      <h2 id="to-file-title" tabIndex={-1}>
        {words.toFile}
      </h2>
      <div class="ruled">
        <p class="explanation">{savesStraight() ? words.toDisk : words.toPage}</p>
        <div class="job">
          <JobView job={job.value} />
        </div>
        {!isBusy(job.value) && <Actions phase={job.value.phase} name={job.value.name} />}
        <Cautions />
      </div>
    </section>
  );
}

/** The way to a file that is kept in the page, and the way to make one. */
function Actions({ phase, name }: Job) {
  const address = 'file' in phase ? phase.file.address : undefined;
  return (
    <div class="actions">
      {address !== undefined && (
        <a class="button main" href={address} download={name}>
          {words.saveIt}
        </a>
      )}
      {wrong.value ? (
        <button type="button" onClick={goToFirstWrong}>
          {words.goToWrong}
        </button>
      ) : (
        <button type="button" class={address === undefined ? 'main' : ''} onClick={begin}>
          {buttonWords(phase)}
        </button>
      )}
    </div>
  );
}

function buttonWords(phase: Phase): string {
  if (phase.is !== 'nothing') return words.another;
  return savesStraight() ? words.save : words.makeFile;
}

async function begin(): Promise<void> {
  const now = await makeable();
  if (now === undefined) goToFirstWrong();
  else await save(now.settings, now.name);
}

function goToFirstWrong(): void {
  const field = document.querySelector<HTMLElement>('.field [aria-invalid="true"]');
  const folded = field?.closest('details');
  if (folded != null) folded.open = true;
  field?.focus();
}

function Cautions() {
  return (
    <ul class="cautions">
      {SOUND_CAUTIONS.map((caution) => (
        <li key={caution}>{caution}</li>
      ))}
    </ul>
  );
}

function JobView({ job: { name, phase } }: { job: Job }) {
  switch (phase.is) {
    case 'nothing':
      return null;
    case 'writing':
      return <Busy title={words.writing(name)} phase={phase} />;
    case 'reading-back':
      return (
        <>
          <Standing name={name} file={phase.file} />
          <Busy title={words.readingBack(name)} phase={phase} />
        </>
      );
    case 'made':
      return (
        <>
          <Standing name={name} file={phase.file} />
          <OutcomeView outcome={phase.outcome} />
        </>
      );
    case 'unproved':
      return (
        <>
          <Standing name={name} file={phase.file} />
          <p>{words.unproved}</p>
          {phase.problem !== undefined && <Trouble {...makeProblemInWords(phase.problem)} />}
        </>
      );
    case 'stopped':
      return <h3>{words.stopped(name)}</h3>;
    case 'failed':
      return (
        <>
          <h3>{words.failed(name)}</h3>
          <Trouble {...makeProblemInWords(phase.problem)} />
        </>
      );
  }
}

type BusyPhase = Extract<Phase, { since: number }>;

function Busy({ title, phase }: { title: string; phase: BusyPhase }) {
  return (
    <>
      <p>{title}</p>
      <ProgressBar label={title} progress={phase.progress} since={phase.since} stop={stop} />
    </>
  );
}

function Standing({ name, file }: { name: string; file: MadeFile }) {
  return <h3>{words.whole(name, fileSize(file.bytes))}</h3>;
}

/** What reading the file back says, and what follows from it. */
function OutcomeView({ outcome: { as_asked: asAsked, text, remedy } }: { outcome: Outcome }) {
  return (
    <>
      <p class="outcome">
        {asAsked === 'no' && <strong class="wrong">{words.notRight} </strong>}
        {text}
      </p>
      {asAsked === 'yes' ? <p class="proves">{words.proves}</p> : <p class="remedy">{remedy}</p>}
    </>
  );
}
