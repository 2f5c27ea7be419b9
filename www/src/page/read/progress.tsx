import { text } from '../../text/en';
import { ProgressBar } from '../progress';
import { type Phase, type Sheet, stop } from './sheets';

/** How far the reading is, how long it will take, and a way to stop it. */
export function ProgressLine({ sheet, phase }: { sheet: Sheet; phase: Phase }) {
  if (phase.is === 'waiting') return <p class="progress-note">{text.read.waiting}</p>;
  if (sheet.file.value === undefined && (phase.is === 'aside' || phase.is === 'known')) {
    return <p class="progress-note">{text.read.dropAgain}</p>;
  }
  if (phase.is !== 'reading') return null;
  return (
    <ProgressBar
      label={text.read.reading('')}
      progress={phase.progress}
      since={phase.since}
      stop={() => stop(sheet)}
    />
  );
}
