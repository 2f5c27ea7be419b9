import { text } from '../../text/en';
import { download } from '../download';
import { type Phase, readAgain, remove, type Sheet } from './sheets';
import { StampedCopy } from './stamped';

type Props = { sheet: Sheet; phase: Phase; choose: () => void };

/** What to do next. The report of a reading that was cut short says so itself. */
export function Exports({ sheet, phase, choose }: Props) {
  const broken = phase.is === 'failed' || (phase.is === 'read' && phase.ending.is !== 'whole');
  // After a new start of the page the file must be handed in again; the demo is made again.
  const atHand = sheet.file.value !== undefined || sheet.key === undefined;
  const again = atHand && (broken || phase.is === 'aside');
  return (
    <>
      {phase.is === 'read' && <StampedCopy sheet={sheet} report={phase.reading.report} />}
      <div class="actions">
        {phase.is === 'read' && <Reports phase={phase} />}
        {again && (
          <button type="button" class="main" onClick={() => readAgain(sheet)}>
            {text.read.again}
          </button>
        )}
        <button type="button" onClick={choose}>
          {text.read.another}
        </button>
        <button type="button" onClick={() => remove(sheet)}>
          {text.read.remove}
        </button>
      </div>
    </>
  );
}

function Reports({ phase }: { phase: Extract<Phase, { is: 'read' }> }) {
  const { report } = phase.reading;
  const stem = report.file.replace(/\.[^.]*$/, '');
  const json = () =>
    download(`${stem}.json`, 'application/json', `${JSON.stringify(report, null, 1)}\n`);
  return (
    <>
      <button type="button" onClick={() => download(`${stem}.csv`, 'text/csv', phase.csv)}>
        {text.read.csv}
      </button>
      <button type="button" onClick={json}>
        {text.read.json}
      </button>
      <button type="button" onClick={() => print()}>
        {text.read.print}
      </button>
    </>
  );
}
