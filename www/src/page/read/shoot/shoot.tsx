import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { text } from '../../../text/en';
import { Trouble } from '../../trouble';
import { VerdictWords } from '../../verdict';
import { sentence } from '../announcer';
import { Findings } from '../findings';
import type { Choose } from '../read';
import { sheets } from '../sheets';
import { LookForAll } from './by-sound';
import { canUndo, undo } from './changes';
import { clear, need, notLoaded, oneClock, shoot } from './clock';
import { ClocksDrawing, hasClocks } from './clocks-drawing';
import { Devices } from './devices';
import { HandOver } from './hand-over';
import { allSettled, TotalProgress } from './progress';
import { MarksOfShoot } from './marks-of-shoot';
import { RollingDrawing } from './rolling-drawing';
import { RollingInWords } from './rolling-words';
import { RecordingsTable } from './table';

/** All recordings together. */
export function ShootView({ choose }: { choose: Choose }) {
  const title = useRef<HTMLHeadingElement>(null);
  const pointed = useSignal<number | undefined>(undefined);
  useEffect(() => {
    title.current?.focus({ preventScroll: true });
    void need();
  }, []);
  const shown = shoot.value;
  const placed = shown?.devices.filter(({ clips }) => clips.length > 0) ?? [];
  return (
    <article class="sheet shoot">
      <div class="file-line">
        <p class="file-name">{text.shoot.title}</p>
        <p>{shown?.about ?? ''}</p>
      </div>
      <h1 class="verdict" ref={title} tabIndex={-1}>
        <Headline />
      </h1>
      {notLoaded.value !== undefined && <NotLoaded detail={notLoaded.value} />}
      <TotalProgress />
      {placed.length > 0 && <RollingDrawing prefix="shoot" pointed={pointed} />}
      {placed.length > 0 && <RollingInWords />}
      {hasClocks() && <ClocksDrawing />}
      {shown !== undefined && shown.findings.length > 0 && (
        <Findings findings={shown.findings} prefix="shoot" pointed={pointed} />
      )}
      {placed.length > 0 && <MarksOfShoot />}
      <RecordingsTable />
      <LookForAll />
      {canUndo.value && (
        <p class="undo">
          <button type="button" onClick={undo}>
            {text.shoot.undo}
          </button>
        </p>
      )}
      {placed.length > 0 && <Devices />}
      {oneClock.value !== undefined && allSettled.value && <HandOver />}
      <div class="actions">
        <button type="button" onClick={choose.files}>
          {text.shoot.addFiles}
        </button>
        <button type="button" onClick={choose.folder}>
          {text.shoot.addFolder}
        </button>
        <button type="button" onClick={clear}>
          {text.shoot.clear}
        </button>
      </div>
    </article>
  );
}

/** What lays recordings on one clock could not be loaded. */
function NotLoaded({ detail }: { detail: string }) {
  return (
    <div class="trouble">
      <Trouble text={text.shoot.notLoaded(detail)} remedy={text.shoot.notLoadedRemedy} />
      <button type="button" onClick={() => void need()}>
        {text.shoot.tryAgain}
      </button>
    </div>
  );
}

function Headline() {
  const shown = shoot.value;
  if (shown === undefined || shown.recordings.length === 0) {
    return <>{text.shoot.reading(sheets.value.length)}</>;
  }
  const soFar = allSettled.value ? '' : ` ${text.shoot.soFar}`;
  return (
    <>
      <VerdictWords verdict={shown.verdict} />
      {soFar}
    </>
  );
}

/** The verdict on all recordings, for those who hear the page; none until there is one. */
export function shootVerdict(): string {
  const shown = shoot.value;
  return shown === undefined || !allSettled.value ? '' : sentence(shown.verdict);
}
