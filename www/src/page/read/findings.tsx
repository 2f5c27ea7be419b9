import type { Signal } from '@preact/signals';
import { text } from '../../text/en';

/** What is shown of a finding, of one recording or of several. */
type Finding = { heading: string; place: string; text: string; remedy: string };

type Props = {
  findings: readonly Finding[];
  prefix: string;
  /** The number of the finding that is pointed at, here or in the drawing. */
  pointed: Signal<number | undefined>;
  /** What is said where there are none. */
  none?: string;
};

/** The findings, each with the number that it has in the drawing. */
export function Findings({ findings, prefix, pointed, none = text.read.noFindings }: Props) {
  return (
    <section class="findings">
      <h2>{text.read.findings}</h2>
      {findings.length === 0 && <p class="none">{none}</p>}
      <ol>
        {findings.map((finding, index) => (
          <li
            key={index}
            id={`${prefix}-finding-${index + 1}`}
            tabIndex={-1}
            class={pointed.value === index + 1 ? 'pointed' : ''}
            onPointerEnter={() => (pointed.value = index + 1)}
            onPointerLeave={() => (pointed.value = undefined)}
          >
            <span class="number">{index + 1}</span>
            <div class="finding-head">
              <h3>{finding.heading}</h3>
              <p class="finding-place">{finding.place}</p>
            </div>
            <div class="finding-body">
              <p>{finding.text}</p>
              <p class="remedy">{finding.remedy}</p>
            </div>
          </li>
        ))}
      </ol>
    </section>
  );
}

/** Leads to a finding: it comes into sight, and the keyboard goes on from there. */
export function goToFinding(prefix: string, number: number): void {
  const finding = document.getElementById(`${prefix}-finding-${number}`);
  finding?.focus({ preventScroll: true });
  finding?.scrollIntoView({ block: 'nearest' });
}
