import { toneFileWords, make as words } from '../../text/en-make';
import { Aloud } from '../aloud';
import { aloud } from '../file-view';
import { toneFile } from './job';
import { sketch } from './settings';

/** Says aloud, for those who hear the page, what the settings come to and how the file gets on. */
export function Announcer() {
  return (
    <>
      <Aloud said={settings()} />
      <p class="visually-hidden" role="status">
        {aloud(toneFile.job.value, toneFileWords)}
      </p>
    </>
  );
}

/** What is wrong, else what will be made. */
function settings(): string {
  const now = sketch.value;
  const [problem] = now?.problems ?? [];
  if (problem !== undefined) return `${words.notRight} ${problem.text}`;
  return now?.verdict ?? '';
}
