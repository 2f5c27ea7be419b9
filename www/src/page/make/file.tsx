import { SOUND_CAUTIONS, toneFileWords, make as words } from '../../text/en-make';
import { asNamed, isBusy, type Job, type Phase, savesStraight } from '../file-job';
import { JobView, SaveIt } from '../file-view';
import { toneFile } from './job';
import { makeable, wrong } from './settings';

/** The tone as a file: making it, reading it back, and what that proves. */
export function ToFile() {
  const job = toneFile.job.value;
  return (
    <section class="to-file" aria-labelledby="to-file-title">
      <h2 id="to-file-title" tabIndex={-1}>
        {words.toFile}
      </h2>
      <div class="ruled">
        <p class="explanation">{savesStraight() ? words.toDisk : words.toPage}</p>
        <div class="job">
          <JobView job={job} words={toneFileWords} stop={() => toneFile.stop()} />
        </div>
        {!isBusy(job) && <Actions job={job} />}
        <Cautions />
      </div>
    </section>
  );
}

/** The way to a file that is kept in the page, and the way to make one. */
function Actions({ job }: { job: Job }) {
  const { phase } = job;
  const toSave = 'file' in phase && phase.file.address !== undefined;
  return (
    <div class="actions">
      <SaveIt job={job} />
      {wrong.value ? (
        <button type="button" onClick={goToFirstWrong}>
          {words.goToWrong}
        </button>
      ) : (
        <button type="button" class={toSave ? '' : 'main'} onClick={begin}>
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
  else await toneFile.save({ kind: 'make', settings: now.settings }, now.name, asNamed);
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
