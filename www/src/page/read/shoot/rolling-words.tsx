import { text } from '../../../text/en';
import { Facts } from '../../facts';
import { shoot } from './clock';

/** Who was rolling, in words: overlaps and gaps, which the drawing shows to those who see it. */
export function RollingInWords() {
  const rolling = shoot.value?.rolling;
  if (rolling === undefined || rolling.text === '') return null;
  const { spans, more, gaps } = rolling;
  return (
    <div class="rolling-words">
      <p>{rolling.text}</p>
      <details>
        <summary>{text.shoot.inWords}</summary>
        <Facts facts={gaps} />
        <table>
          <thead>
            <tr>
              <th>{text.shoot.spanFrom}</th>
              <th>{text.shoot.spanTo}</th>
              <th>{text.shoot.length}</th>
              <th>{text.shoot.spanWho}</th>
            </tr>
          </thead>
          <tbody>
            {spans.map(({ from, to, length, who }) => (
              <tr key={from}>
                <td class="figures">{from}</td>
                <td class="figures">{to}</td>
                <td>{length}</td>
                <td>{who}</td>
              </tr>
            ))}
          </tbody>
        </table>
        {more > 0 && <p>{text.shoot.moreSpans(more)}</p>}
      </details>
    </div>
  );
}
