import { useState } from 'preact/hooks';
import type { Shoot } from '../../../protocol/messages';
import { sound as words } from '../../../text/en-sound';
import { ProgressBar } from '../../progress';
import { nameOf, sheets } from '../sheets';
import { sounds } from './changes';
import { keyOf, oneClock, shoot } from './clock';
import {
  atHand,
  holdsOthers,
  isListening,
  type Lining,
  lineUp,
  lining,
  lookBeside,
  lookForAll,
  type Side,
  stop,
  takeBack,
} from './sounds';

type Row = Shoot['recordings'][number];

/** How far off a rough start may be, in seconds. */
const GIVE_OR_TAKE = [2, 10, 60, 600] as const;

/** The way to place a recording by what it heard together with others. */
export function BySound({ row }: { row: Row }) {
  return (
    <div class="by-sound">
      <Choice row={row} />
      <Outcome row={row} />
    </div>
  );
}

/** Which others to line it up with. */
function Choice({ row }: { row: Row }) {
  const own = sides().find(({ key }) => key === row.key);
  const others = othersThan(row);
  if (own === undefined || !atHand(own)) return <Note>{words.notAtHand}</Note>;
  if (others.length === 0) return <Note>{words.nothingToLineUpWith}</Note>;
  return (
    <>
      <OnePair own={own} others={others} />
      {others.length > 1 && (
        <button type="button" disabled={isListening()} onClick={() => void lookBeside(others, own)}>
          {words.lookInAll(others.length)}
        </button>
      )}
      <Note>{words.note}</Note>
    </>
  );
}

/** One other, and a rough start for what repeats. */
function OnePair({ own, others }: { own: Side; others: readonly Side[] }) {
  const [chosen, choose] = useState('');
  const [rough, type] = useState('');
  const [within, widen] = useState<number>(GIVE_OR_TAKE[1]);
  const beside = others.find(({ key }) => key === chosen) ?? others[0];
  if (beside === undefined) return null;
  const near =
    rough.trim() === '' ? undefined : oneClock.value?.prior(beside.key, rough.trim(), within);
  return (
    <>
      <div class="by-sound-fields">
        <div class="change-field">
          <label for="by-sound">{words.beside}</label>
          <select
            id="by-sound"
            value={beside.key}
            onChange={(event) => choose(event.currentTarget.value)}
          >
            {others.map(({ key, sheet }) => (
              <option key={key} value={key}>
                {nameOf(sheet)}
              </option>
            ))}
          </select>
        </div>
        <div class="change-field">
          <label for="rough">{words.rough}</label>
          <input
            id="rough"
            type="text"
            autocomplete="off"
            spellcheck={false}
            value={rough}
            placeholder={words.roughUnknown}
            aria-invalid={near?.problem !== undefined}
            aria-describedby={near?.problem === undefined ? undefined : 'rough-problem'}
            onInput={(event) => type(event.currentTarget.value)}
          />
          {near?.problem !== undefined && (
            <p class="change-problem" id="rough-problem">
              {near.problem.text} {near.problem.remedy}
            </p>
          )}
        </div>
        <div class="change-field">
          <label for="give-or-take">{words.giveOrTake}</label>
          <select
            id="give-or-take"
            value={within}
            onChange={(event) => widen(Number(event.currentTarget.value))}
          >
            {GIVE_OR_TAKE.map((seconds) => (
              <option key={seconds} value={seconds}>
                {words.seconds(seconds)}
              </option>
            ))}
          </select>
        </div>
      </div>
      <button
        type="button"
        disabled={isListening() || near?.problem !== undefined}
        onClick={() => void lineUp(beside, own, near?.prior)}
      >
        {words.lineUp}
      </button>
    </>
  );
}

/** How far the listening is, or what came of it. */
function Outcome({ row }: { row: Row }) {
  const now = lining.value?.key === row.key ? lining.value : undefined;
  if (now?.is === 'working') return <Working now={now} />;
  const known = (sounds.value[row.key]?.length ?? 0) > 0;
  return (
    <>
      <p class="by-sound-outcome" role="status">
        {now?.is === 'searched' && words.searched(now.heard, now.of, now.stopped)}
        {now?.is === 'ended' && (
          <>
            <strong>{words.besideName(nameBy(now.beside))}</strong> {said(now.outcome)}
          </>
        )}
      </p>
      {known && (
        <button type="button" onClick={() => takeBack(row.key)}>
          {words.forget}
        </button>
      )}
    </>
  );
}

function Working({ now }: { now: Extract<Lining, { is: 'working' }> }) {
  const { progress, since, number, of } = now;
  const label = words.working(nameBy(now.key), nameBy(now.beside), number, of);
  return (
    <>
      <p class="change-note">{label}</p>
      <ProgressBar label={label} progress={progress} since={since} stop={stop} />
    </>
  );
}

/** Looks for all recordings that have no place, where there are others that may have heard them. */
export function LookForAll() {
  const wanted = (shoot.value?.recordings ?? []).flatMap((row) => {
    const side = sides().find(({ key }) => key === row.key);
    const others = othersThan(row);
    const isLost = row.starts_at === '' && row.error === '';
    return isLost && side !== undefined && atHand(side) && others.length > 0
      ? [{ side, others }]
      : [];
  });
  const now = lining.value;
  if (now?.is === 'working') {
    return (
      <div class="by-sound look-for-all">
        <Working now={now} />
      </div>
    );
  }
  if (wanted.length === 0) return null;
  return (
    <p class="look-for-all">
      <button type="button" onClick={() => void lookForAll(wanted)}>
        {words.lookForAll(wanted.length)}
      </button>
    </p>
  );
}

function said(outcome: Extract<Lining, { is: 'ended' }>['outcome']) {
  switch (outcome.is) {
    case 'found':
      return outcome.text;
    case 'refused':
      return `${outcome.text} ${outcome.remedy}`;
    case 'stopped':
      return words.stopped;
  }
}

function Note({ children }: { children: string }) {
  return <p class="change-note">{children}</p>;
}

function sides(): Side[] {
  return sheets.value.map((sheet) => ({ key: keyOf(sheet), sheet }));
}

function nameBy(key: string): string {
  const sheet = sides().find((side) => side.key === key)?.sheet;
  return (sheet && nameOf(sheet)) ?? '';
}

/** Recordings with code whose files are at hand: those that may overlap come first, then those whose
 * files were last written to at about the same time, then by time. */
function othersThan(row: Row): Side[] {
  const all = shoot.value?.recordings ?? [];
  const clips = shoot.value?.devices.flatMap((device) => device.clips) ?? [];
  const clipOf = (key: string) => clips.find(({ recording }) => all[recording]?.key === key);
  const own = clipOf(row.key);
  const isApart = (key: string) => {
    const other = clipOf(key);
    return own && other && (other.to < own.from || own.to < other.from) ? 1 : 0;
  };
  const written = ({ sheet }: Side) => sheet.file.value?.lastModified ?? 0;
  const ownSide = sides().find(({ key }) => key === row.key);
  const later = (side: Side) =>
    own || ownSide === undefined ? 0 : Math.abs(written(side) - written(ownSide));
  const order = (key: string) => all.find((other) => other.key === key)?.order ?? all.length;
  return sides()
    .filter((side) => side.key !== row.key && holdsOthers(side))
    .toSorted(
      (a, b) =>
        isApart(a.key) - isApart(b.key) || later(a) - later(b) || order(a.key) - order(b.key),
    );
}
