import { make as words, makeProblemInWords } from '../../text/en-make';
import { Aloud } from '../aloud';
import { percent } from '../progress';
import { type Job, job } from './job';
import { sketch } from './settings';

/** Says aloud, for those who hear the page, what the settings come to and how the file gets on. */
export function Announcer() {
  return (
    <>
      <Aloud said={aloud()} />
      <p class="visually-hidden" role="status">
        {progress(job.value)}
      </p>
    </>
  );
}

/** What is wrong, else what will be made. */
function aloud(): string {
  const now = sketch.value;
  const [problem] = now?.problems ?? [];
  if (problem !== undefined) return `${words.notRight} ${problem.text}`;
  return now?.verdict ?? '';
}

function progress({ name, phase }: Job): string {
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
      return `${words.failed(name)} ${makeProblemInWords(phase.problem).text}`;
  }
}

/** The progress in steps that are worth hearing. */
function quarters({ progress }: { progress: { done: number; total: number } }): string {
  return `${Math.floor(percent(progress) / 25) * 25} %`;
}
