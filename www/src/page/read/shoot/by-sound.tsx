import { useState } from 'preact/hooks';
import type { Shoot } from '../../../protocol/messages';
import { sound as words } from '../../../text/en-sound';
import { ProgressBar } from '../../progress';
import { nameOf, type Sheet, sheets } from '../sheets';
import { atHand, holdsOthers, lineUp, lining, sounds, stop, takeBack } from './sounds';
import { keyOf, shoot } from './clock';

type Row = Shoot['recordings'][number];
type Side = { key: string; sheet: Sheet };

/** The way to place a recording by what it heard together with another. */
export function BySound({ row }: { row: Row }) {
  return (
    <div class="by-sound">
      <Choice row={row} />
      <Outcome row={row} />
    </div>
  );
}

/** Which other one to line it up with. */
function Choice({ row }: { row: Row }) {
  const own = sides().find(({ key }) => key === row.key);
  const others = othersThan(row);
  const [chosen, choose] = useState('');
  const beside = others.find(({ key }) => key === chosen) ?? others[0];
  if (own === undefined || !atHand(own.sheet)) return <Note>{words.notAtHand}</Note>;
  if (beside === undefined) return <Note>{words.nothingToLineUpWith}</Note>;
  return (
    <>
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
      <button
        type="button"
        disabled={lining.value?.is === 'working'}
        onClick={() => void lineUp(beside, own)}
      >
        {words.lineUp}
      </button>
      <Note>{words.note}</Note>
    </>
  );
}

/** How far the listening is, or what came of it. */
function Outcome({ row }: { row: Row }) {
  const now = lining.value?.key === row.key ? lining.value : undefined;
  const name = nameBy(now?.beside ?? '');
  if (now?.is === 'working') {
    const { progress, since } = now;
    const label = words.working(name);
    return <ProgressBar label={label} progress={progress} since={since} stop={stop} />;
  }
  const known = (sounds.value[row.key]?.length ?? 0) > 0;
  return (
    <>
      <p class="by-sound-outcome" role="status">
        {now !== undefined && (
          <>
            <strong>{words.besideName(name)}</strong> {said(now.outcome)}
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

function said(outcome: Extract<NonNullable<typeof lining.value>, { is: 'ended' }>['outcome']) {
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

/** Recordings with code whose files are at hand: those that may overlap come first, then by time. */
function othersThan(row: Row): Side[] {
  const all = shoot.value?.recordings ?? [];
  const clips = shoot.value?.devices.flatMap((device) => device.clips) ?? [];
  const clipOf = (key: string) => clips.find(({ recording }) => all[recording]?.key === key);
  const own = clipOf(row.key);
  const isApart = (key: string) => {
    const other = clipOf(key);
    return own && other && (other.to < own.from || own.to < other.from) ? 1 : 0;
  };
  const order = (key: string) => all.find((other) => other.key === key)?.order ?? all.length;
  return sides()
    .filter(({ key, sheet }) => key !== row.key && holdsOthers(sheet))
    .toSorted((a, b) => isApart(a.key) - isApart(b.key) || order(a.key) - order(b.key));
}
