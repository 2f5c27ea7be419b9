import { useState } from 'preact/hooks';
import type { StampOrder } from '../../protocol/make';
import type { Reading } from '../../protocol/messages';
import { stamp as words, stampWords } from '../../text/en-stamp';
import { type Choice, Field } from '../field';
import { FileJob, inFolder, isBusy, savesStraight } from '../file-job';
import { aloud, JobView, SaveIt } from '../file-view';
import { Maker } from '../maker';
import { withOwnCode } from './own-code';
import type { Sheet } from './sheets';
import { keyOf, shoot } from './shoot/clock';

/** Containers that have a place for a stamp, as the report names them. */
const STAMPED = ['wav', 'rf64', 'bw64'];

/** The one copy that is being made, and of which recording: a worker of its own makes it. */
const copy = new FileJob(new Maker());
let copied: Sheet | undefined;

type Code = Reading['report']['codes'][number];
/** A code whose start is known. */
type Started = Code & { start: string; start_samples_since_midnight: number };

function isStarted(code: Code): code is Started {
  return code.start !== undefined && code.start_samples_since_midnight !== undefined;
}

/** A copy of the recording with the start of its code in it; of a WAV, once it was read. */
export function StampedCopy({ sheet, report }: { sheet: Sheet; report: Reading['report'] }) {
  const codes = report.codes.filter(isStarted);
  const [first] = codes;
  // After a new start of the page the reading is there, and its file is not.
  if (first === undefined || sheet.file.value === undefined) return null;
  const isWav = STAMPED.includes(report.container ?? '');
  return (
    <section class="stamp" aria-labelledby={`stamp-${sheet.id}`}>
      <h2 id={`stamp-${sheet.id}`}>{words.title}</h2>
      <div class="ruled">
        <p class="explanation">{isWav ? words.explanation : words.notWav}</p>
        {isWav && <Making sheet={sheet} report={report} codes={codes} first={first} />}
      </div>
    </section>
  );
}

type Props = { sheet: Sheet; report: Reading['report']; codes: readonly Started[]; first: Started };

function Making({ sheet, report, codes, first }: Props) {
  const [channel, setChannel] = useState(`${first.channel}`);
  const [kept, setKept] = useState('all');
  const job = copy.job.value;
  const isOwn = copied === sheet;
  const code = codes.find((code) => `${code.channel}` === channel) ?? first;
  const own = withOwnCode(report);
  const leaveOut = kept === 'all' ? [] : own;
  const begin = () => save(sheet, report.file, { ...orderOf(code, leaveOut), ...tapeOf(sheet) });
  return (
    <>
      <Choices
        sheet={sheet}
        start={[codes, channel, setChannel]}
        channels={[(report.channels ?? 0) > own.length, kept, setKept]}
      />
      <p class="explanation">{savesStraight() ? words.toDisk : words.toPage}</p>
      <div class="job">
        {isOwn && <JobView job={job} words={stampWords} stop={() => copy.stop()} />}
        {!isOwn && isBusy(job) && <p>{words.elsewhere(job.name)}</p>}
      </div>
      <p class="visually-hidden" role="status">
        {isOwn ? aloud(job, stampWords) : ''}
      </p>
      {!isBusy(job) && (
        <div class="actions">
          {isOwn && <SaveIt job={job} />}
          <button type="button" onClick={begin}>
            {isOwn && job.phase.is !== 'nothing' ? words.another : words.button}
          </button>
        </div>
      )}
    </>
  );
}

type ChoicesProps = {
  sheet: Sheet;
  start: [codes: readonly Started[], channel: string, choose: (channel: string) => void];
  /** Whether there are channels beside the code's. */
  channels: [others: boolean, kept: string, choose: (kept: string) => void];
};

/** Whose start it is, where there are several codes, and whether the code stays. */
function Choices({ sheet, start, channels }: ChoicesProps) {
  const [codes, channel, setChannel] = start;
  const [others, kept, setKept] = channels;
  const starts = codes.map((code): Choice => [
    `${code.channel}`,
    words.channel(code.channel, code.start),
  ]);
  const keep: Choice[] = [
    ['all', words.all],
    ['without-code', words.withoutCode],
  ];
  const form = `stamp-${sheet.id}`;
  const field = { form, problems: [], notRight: '' };
  return (
    <div class="field-grid">
      {starts.length > 1 && (
        <Field
          {...field}
          field="start"
          label={words.start}
          value={channel}
          choices={starts}
          onChange={setChannel}
        />
      )}
      {others && (
        <Field
          {...field}
          field="channels"
          label={words.channels}
          value={kept}
          choices={keep}
          onChange={setKept}
        />
      )}
    </div>
  );
}

function orderOf(code: Started, leaveOut: number[]): StampOrder {
  return {
    start_samples_since_midnight: code.start_samples_since_midnight,
    rate: code.rate,
    drop_frame: code.drop_frame,
    leave_out: leaveOut,
    made_from: words.madeFrom(code.channel),
  };
}

/** The tape that the shoot has for it, where it stands among others. */
function tapeOf(sheet: Sheet): Pick<StampOrder, 'tape'> {
  const row = shoot.value?.recordings.find(({ key }) => key === keyOf(sheet));
  const tape = row?.copy.is === 'possible' ? row.copy.order.tape : undefined;
  return tape === undefined ? {} : { tape };
}

async function save(sheet: Sheet, name: string, order: StampOrder): Promise<void> {
  const file = sheet.file.value;
  if (file === undefined) return;
  const before = copied;
  copied = sheet;
  const named = `${name.replace(/\.[^.]*$/, '')}-stamped.wav`;
  const begun = await copy.save({ kind: 'stamp', file, order }, named, inFolder);
  if (!begun) copied = before;
}
