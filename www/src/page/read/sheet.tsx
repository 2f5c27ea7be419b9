import { useEffect, useRef } from 'preact/hooks';
import type { Reading } from '../../protocol/messages';
import { fileSize, problemInWords, text, took, where } from '../../text/en';
import { sentence } from './announcer';
import { CodeSection } from './code';
import { CodewordView } from './codeword';
import { useCodewords } from './codewords';
import { Exports } from './exports';
import { Facts } from '../facts';
import { Trouble } from '../trouble';
import { VerdictWords } from '../verdict';
import { ProgressLine } from './progress';
import { nameOf, type Phase, readingOf, type Sheet, sheets, showAll, type Took } from './sheets';

type Props = { sheet: Sheet; choose: () => void };

/** The sheet of one recording. */
export function SheetView({ sheet, choose }: Props) {
  const phase = sheet.phase.value;
  const reading = readingOf(phase);
  const title = useRef<HTMLHeadingElement>(null);
  // What was pressed or dropped led here: the keyboard and the screen reader go on from here too.
  useEffect(() => title.current?.focus({ preventScroll: true }), []);
  return (
    <article class="sheet">
      {sheets.value.length > 1 && <WayBack />}
      <FileLine sheet={sheet} phase={phase} reading={reading} />
      <h1 class="verdict" ref={title} tabIndex={-1}>
        <Headline sheet={sheet} phase={phase} />
      </h1>
      <ProgressLine sheet={sheet} phase={phase} />
      {phase.is === 'failed' && <Trouble {...problemInWords(phase.problem)} />}
      {phase.is === 'read' && phase.ending.is === 'broken-off' && (
        <Trouble {...problemInWords(phase.ending.problem)} />
      )}
      {reading !== undefined && <ReadingView sheet={sheet} reading={reading} />}
      <Exports sheet={sheet} phase={phase} choose={choose} />
    </article>
  );
}

/** Back to all recordings. */
function WayBack() {
  return (
    <nav class="way-back" aria-label={text.read.recordings}>
      <button type="button" onClick={showAll}>
        {text.read.allRecordings(sheets.value.length)}
      </button>
    </nav>
  );
}

function FileLine({
  sheet,
  phase,
  reading,
}: {
  sheet: Sheet;
  phase: Phase;
  reading: Reading | undefined;
}) {
  const about = [
    reading?.about || (sheet.size === 0 ? '' : fileSize(sheet.size)),
    phase.is === 'read' ? tookInWords(phase.took) : '',
  ];
  return (
    <div class="file-line">
      <p class="file-name">{nameOf(sheet) ?? text.read.makingDemo}</p>
      <p>{about.filter((part) => part !== '').join(' · ')}</p>
    </div>
  );
}

function tookInWords(time: Took): string {
  return time === 'kept' ? text.read.readBefore : took(time.milliseconds);
}

/** The verdict; until there is one, what is being done. */
function Headline({ sheet, phase }: { sheet: Sheet; phase: Phase }) {
  if (phase.is === 'failed') return <>{problemInWords(phase.problem).verdict}</>;
  const reading = readingOf(phase);
  if (reading === undefined) {
    const name = nameOf(sheet);
    if (phase.is === 'aside') return <>{text.read.notRead(name ?? '')}</>;
    if (phase.is === 'known') return <>{text.shoot.known(name ?? '')}</>;
    return <>{name === undefined ? text.read.makingDemo : text.read.reading(name)}</>;
  }
  return <VerdictWords verdict={reading.verdict} />;
}

function ReadingView({ sheet, reading }: { sheet: Sheet; reading: Reading }) {
  const { error } = reading.report;
  const codewords = useCodewords(sheet);
  const prefix = `sheet-${sheet.id}`;
  return (
    <>
      {error !== undefined && <ReportedTrouble error={error} verdict={sentence(reading.verdict)} />}
      {reading.codes.map((code) => (
        <CodeSection
          key={code.channel}
          code={code}
          seconds={reading.seconds}
          alone={reading.codes.length === 1}
          prefix={`${prefix}-${code.channel}`}
          codewords={codewords}
        />
      ))}
      {reading.suspected.length > 0 && <Suspected suspected={reading.suspected} />}
      {reading.notes.length > 0 && (
        <section class="notes">
          <h2>{text.read.metadata}</h2>
          <Facts facts={reading.notes} />
        </section>
      )}
      {reading.codes.length > 0 && (
        <CodewordView id={`${prefix}-bits`} codewords={codewords} codes={reading.codes} />
      )}
    </>
  );
}

/** Channels that may carry code, and why that is not enough. */
function Suspected({ suspected }: { suspected: Reading['suspected'] }) {
  return (
    <section class="findings">
      <h2>{text.read.suspected}</h2>
      <ol>
        {suspected.map((suspicion) => (
          <li key={suspicion.heading}>
            <span class="number">?</span>
            <div class="finding-head">
              <h3>{suspicion.heading}</h3>
              <p class="finding-place">{suspicion.place}</p>
            </div>
            <div class="finding-body">
              <p>{suspicion.text}</p>
              <p class="remedy">{suspicion.remedy}</p>
            </div>
          </li>
        ))}
      </ol>
    </section>
  );
}

type ReportedError = NonNullable<Reading['report']['error']>;

/** What the report says went wrong; the verdict may have said it already. */
function ReportedTrouble({ error, verdict }: { error: ReportedError; verdict: string }) {
  return (
    <Trouble
      text={verdict.includes(error.text) ? '' : `${error.text}.`}
      place={where(error.place, error.at)}
      remedy={error.remedy}
    />
  );
}
