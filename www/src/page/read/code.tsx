import { useSignal } from '@preact/signals';
import type { Reading } from '../../protocol/messages';
import { text } from '../../text/en';
import { Addresses } from '../addresses';
import type { Codewords } from './codewords';
import { CodeDrawing } from './drawing/code-drawing';
import { DriftDrawing } from './drawing/drift-drawing';
import { Facts } from '../facts';
import { Findings } from './findings';

export type Code = Reading['codes'][number];

type Props = {
  code: Code;
  seconds: number;
  /** Whether the recording has code on this channel only. */
  alone: boolean;
  /** The beginning of this code's element ids. */
  prefix: string;
  codewords: Codewords;
};

/** The code of one channel: where it begins and ends, what it is, what is wrong with it. */
export function CodeSection({ code, seconds, alone, prefix, codewords }: Props) {
  const pointed = useSignal<number | undefined>(undefined);
  const { drift } = code.drawing;
  return (
    <section class="code" aria-label={code.title}>
      {!alone && <h2 class="channel">{code.title}</h2>}
      <Addresses
        first={{ label: text.read.startsAt, value: code.starts_at ?? text.read.unknownAddress }}
        last={{ label: text.read.endsAt, value: code.ends_at ?? text.read.unknownAddress }}
      />
      <Facts facts={code.facts} />
      <section>
        <h2>{text.read.drawing}</h2>
        <CodeDrawing
          code={code}
          seconds={seconds}
          prefix={prefix}
          pointed={pointed}
          codewords={codewords}
        />
      </section>
      {drift.length > 1 && (
        <section>
          <h2>{text.read.drift}</h2>
          <DriftDrawing points={drift} seconds={seconds} />
        </section>
      )}
      <Findings findings={code.findings} prefix={prefix} pointed={pointed} />
      {code.user_bits.length > 0 && (
        <section>
          <h2>{text.read.userBits}</h2>
          <Facts facts={code.user_bits} />
        </section>
      )}
    </section>
  );
}
