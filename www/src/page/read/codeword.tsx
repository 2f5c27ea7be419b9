import { useSignal } from '@preact/signals';
import type { CodewordReading, Reading } from '../../protocol/messages';
import { text } from '../../text/en';
import type { Codewords } from './codewords';
import { clock } from './drawing/axis';

type Field = CodewordReading['fields'][number];
type Props = { id: string; codewords: Codewords; codes: Reading['codes'] };

/** The 80 bits of the codeword that someone points at. */
export function CodewordView({ id, codewords, codes }: Props) {
  const pointed = codewords.pointed.value;
  const codeword = pointed?.codeword;
  const none = pointed !== undefined && codeword === undefined && !pointed.asking;
  return (
    <section class="codeword">
      <h2 id={id} tabIndex={-1}>
        {text.read.bits}
      </h2>
      {pointed === undefined && <Hint codewords={codewords} codes={codes} />}
      {none && <p class="hint">{pointed.refused ?? text.read.bitsNone}</p>}
      {pointed !== undefined && codeword !== undefined && (
        <>
          <Head
            codeword={codeword}
            channel={codes.length > 1 ? titleOf(codes, pointed.channel) : ''}
            ask={(second) => codewords.ask({ channel: pointed.channel, second })}
          />
          <Bits fields={codeword.fields} />
        </>
      )}
    </section>
  );
}

function titleOf(codes: Reading['codes'], channel: number): string {
  return codes.find((code) => code.channel === channel)?.title ?? '';
}

function Hint({ codewords, codes }: Omit<Props, 'id'>) {
  const code = codes.find(({ drawing }) => drawing.bars.length > 0);
  const second = code?.drawing.bars[0]?.from;
  return (
    <>
      <p class="hint">{text.read.bitsHint}</p>
      {code !== undefined && second !== undefined && (
        <button type="button" onClick={() => codewords.ask({ channel: code.channel, second })}>
          {text.read.bitsFirst}
        </button>
      )}
    </>
  );
}

type HeadProps = { codeword: CodewordReading; channel: string; ask: (second: number) => void };

function Head({ codeword, channel, ask }: HeadProps) {
  const place = [clock(codeword.second, 3), channel, codeword.reverse ? text.read.reverse : ''];
  return (
    <div class="codeword-head">
      <Step name={text.read.earlier} second={codeword.previous} ask={ask} />
      <p aria-live="polite">
        <span class="codeword-address">{codeword.timecode}</span>{' '}
        <span class="codeword-place">{place.filter((part) => part !== '').join(', ')}</span>
      </p>
      <Step name={text.read.later} second={codeword.next} ask={ask} />
    </div>
  );
}

type StepProps = { name: string; second: number | undefined; ask: (second: number) => void };

function Step({ name, second, ask }: StepProps) {
  return (
    <button
      type="button"
      aria-disabled={second === undefined}
      onClick={() => second !== undefined && ask(second)}
    >
      {name}
    </button>
  );
}

/** The bits in the order in which they are sent, and what each field of them says. */
function Bits({ fields }: { fields: readonly Field[] }) {
  const pointed = useSignal<number | undefined>(undefined);
  const mark = (field: Field) => ({
    class: pointed.value === field.first ? 'pointed' : '',
    onPointerEnter: () => (pointed.value = field.first),
    onPointerLeave: () => (pointed.value = undefined),
  });
  return (
    <>
      <div class="bits" aria-hidden="true">
        {fields.map((field) => (
          <span key={field.first} {...mark(field)}>
            {[...field.bits].map((bit, index) => (
              <i key={index} data-bit={bit}>
                {bit}
              </i>
            ))}
            <b>{field.first}</b>
          </span>
        ))}
      </div>
      <dl class="fields">
        {fields.map((field) => (
          <div key={field.first} {...mark(field)}>
            <dt>
              <span class="field-bits">{numbersOf(field)}</span> {field.name}
            </dt>
            <dd>
              <span class="field-value">{field.bits}</span> {field.meaning}
            </dd>
          </div>
        ))}
      </dl>
    </>
  );
}

function numbersOf({ first, bits }: Field): string {
  return bits.length === 1 ? `${first}` : `${first}–${first + bits.length - 1}`;
}
