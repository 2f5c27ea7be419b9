import { useSignal } from '@preact/signals';
import type { Heard } from '../../protocol/listen';
import { listen as words } from '../../text/en-listen';
import { Facts } from '../facts';
import { withSign } from '../read/drawing/levels';
import { LineDrawing } from '../read/drawing/line-drawing';
import { Findings } from '../read/findings';
import { found, jam, phase } from './hearing';
import { addMark } from './marks';
import { TickingDigits } from './ticking';

type Channel = Heard['channels'][number];

/** One channel: its address, what it is, in what it departs, how it parts from other clocks. */
export function ChannelSection({ channel, alone }: { channel: Channel; alone: boolean }) {
  const name = channel.title.toLowerCase();
  const { hearing, ticking, departures, level } = channel;
  return (
    <section class="heard" aria-label={channel.title}>
      <p class="live-address">
        <span class="live-label">
          {alone ? '' : `${channel.title}: `}
          {hearing === 'stopped' ? words.stoppedAddress : words.address}
        </span>
        <TickingDigits ticking={ticking} />
      </p>
      {phase.value.is === 'listening' && hearing === 'code' && (
        <div class="actions">
          <button
            type="button"
            aria-label={words.holdWhat(name)}
            onClick={() => jam(channel.channel)}
          >
            {words.hold}
          </button>
          <button type="button" aria-keyshortcuts="Space" onClick={() => void addMark(channel)}>
            {words.mark}
          </button>
        </div>
      )}
      <Facts facts={channel.facts} />
      {departures.map(({ what, remedy }) => (
        <p key={what} class="departure">
          <em class="mark">{words.departs(what)}</em> {remedy}
        </p>
      ))}
      {level !== undefined && <p class="remedy">{level}</p>}
      {channel.compared.length > 0 && <Compared channel={channel} />}
      <Noticed channel={channel.channel} />
    </section>
  );
}

function Compared({ channel: { compared } }: { channel: Channel }) {
  return (
    <section>
      <h2>{words.compared}</h2>
      {compared.map(({ title, offset, pace, text, points }) => (
        <div key={title} class="compared">
          <h3>{title}</h3>
          <Facts
            facts={[
              { label: words.offset, value: offset },
              { label: words.pace, value: pace },
            ]}
          />
          {points.length > 1 && (
            <figure class="drift">
              <LineDrawing
                points={points}
                seconds={points.at(-1)?.[0] ?? 0}
                least={0.2}
                label={(value) => `${withSign(value)} ms`}
                said={`${title}: ${offset}`}
              />
            </figure>
          )}
          <p>{text}</p>
        </div>
      ))}
    </section>
  );
}

/** What the patient reader found, some seconds later. */
function Noticed({ channel }: { channel: number }) {
  const pointed = useSignal<number | undefined>(undefined);
  const noticed = found.value.find((each) => each.channel === channel);
  if (noticed === undefined) return null;
  return (
    <>
      <Findings
        findings={noticed.findings}
        prefix={`heard-${channel}`}
        pointed={pointed}
        none={words.noFindings}
      />
      {noticed.user_bits.length > 0 && (
        <section>
          <h2>{words.userBits}</h2>
          <Facts facts={noticed.user_bits} />
        </section>
      )}
    </>
  );
}
