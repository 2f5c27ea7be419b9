import { signal } from '@preact/signals';
import { copies as words, stamp, stampWords } from '../../../text/en-stamp';
import { Field } from '../../field';
import { savesIntoFolders } from '../../file-job';
import { ProgressBar } from '../../progress';
import { Trouble } from '../../trouble';
import { candidates, type Channels, copies, type Ended, makeCopies, stopCopies } from './copies';

const channels = signal<Channels>('all');

/** Stamped copies of all recordings that have a place. */
export function StampedCopies() {
  const { copies: possible, leftOut } = candidates.value;
  const working = copies.value?.is === 'working';
  return (
    <section class="copies" aria-labelledby="copies">
      <h3 id="copies">{words.title}</h3>
      <p class="explanation">{words.explanation}</p>
      {leftOut.length > 0 && <p class="explanation">{words.leftOut(leftOut)}</p>}
      {!savesIntoFolders() && <p class="explanation">{words.noFolders}</p>}
      {possible.length > 0 && savesIntoFolders() && (
        <>
          {possible.some(({ coded }) => coded.length > 0) && <ChannelsField />}
          <Progress />
          {!working && (
            <div class="actions">
              <button type="button" onClick={() => void makeCopies(channels.value)}>
                {words.button(possible.length)}
              </button>
            </div>
          )}
        </>
      )}
    </section>
  );
}

function ChannelsField() {
  return (
    <div class="field-grid">
      <Field
        form="copies"
        field="channels"
        label={stamp.channels}
        problems={[]}
        notRight=""
        value={channels.value}
        choices={[
          ['all', stamp.all],
          ['without-code', stamp.withoutCode],
        ]}
        onChange={(to) => (channels.value = to as Channels)}
      />
    </div>
  );
}

/** How far the copies are, or what came of them. */
function Progress() {
  const now = copies.value;
  if (now === undefined) return null;
  const { ended, all } = now;
  return (
    <div class="job">
      {now.is === 'working' && (
        <>
          <p>{words.working(now.name, ended.length + 1, all)}</p>
          <ProgressBar
            label={words.title}
            progress={now.progress}
            since={now.since}
            stop={stopCopies}
          />
        </>
      )}
      <p class="copies-outcome" role="status">
        {now.is === 'ended' && words.ended(ended.filter(isRight).length, all, now.stopped)}
      </p>
      <ol class="copies-ended">
        {ended.map((copy) => (
          <li key={copy.name}>
            <Result copy={copy} />
          </li>
        ))}
      </ol>
    </div>
  );
}

/** Whether a copy is there, was read back and is what was asked for. */
function isRight(copy: Ended): boolean {
  return copy.is === 'made' && copy.outcome.as_asked === 'yes';
}

function Result({ copy }: { copy: Ended }) {
  const title = <strong>{copy.name}</strong>;
  if (copy.is !== 'made') {
    const { problem } = copy;
    return (
      <>
        <p>
          {title} {copy.is === 'unproved' ? stampWords.unproved : stampWords.failed(copy.name)}
        </p>
        {problem !== undefined && <Trouble {...stampWords.problem(problem)} />}
      </>
    );
  }
  const { outcome } = copy;
  const notes = 'notes' in outcome ? outcome.notes : [];
  return (
    <p>
      {title} {outcome.as_asked === 'no' && <strong class="wrong">{stampWords.notRight} </strong>}
      {outcome.text} {outcome.remedy} <span class="proves">{notes.join(' ')}</span>
    </p>
  );
}
