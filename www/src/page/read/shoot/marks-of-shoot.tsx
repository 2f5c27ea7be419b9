import { useEffect } from 'preact/hooks';
import { text } from '../../../text/en';
import { marks as noted, recallMarks } from '../../listen/marks';
import { change, changed } from './changes';
import { shoot } from './clock';

/** Moments that were noted in Listen, on the shoot's clock. */
export function MarksOfShoot() {
  useEffect(() => void recallMarks(), []);
  const rows = shoot.value?.marks ?? [];
  const known = changed.value.marks ?? [];
  const isKnown = ({ address, made }: { address: string; made: string }) =>
    known.some((mark) => mark.address === address && mark.made === made);
  const more = noted.value.filter((mark) => !isKnown(mark));
  if (rows.length === 0 && more.length === 0) return null;
  const bringIn = () => {
    const marks = more.map(({ number: _, ...mark }) => mark);
    change({ corrections: { ...changed.value, marks: [...known, ...marks] } });
  };
  const takeOut = () => change({ corrections: { ...changed.value, marks: [] } });
  return (
    <section class="noted" aria-labelledby="noted">
      <h2 id="noted">{text.shoot.marks}</h2>
      {rows.length > 0 && (
        <div class="wide" role="region" aria-label={text.shoot.marks} tabIndex={0}>
          <table>
            <thead>
              <tr>
                <th scope="col">{text.shoot.markAt}</th>
                <th scope="col">{text.shoot.markNoted}</th>
                <th scope="col">{text.shoot.markRolling}</th>
              </tr>
            </thead>
            <tbody>
              {rows.map(({ address, title, rolling }, index) => (
                <tr key={index}>
                  <td class="figures">{address}</td>
                  <td>{title === address ? '' : title}</td>
                  <td>{rolling}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      <div class="actions">
        {more.length > 0 && (
          <button type="button" onClick={bringIn}>
            {text.shoot.bringMarksIn(more.length)}
          </button>
        )}
        {rows.length > 0 && (
          <button type="button" onClick={takeOut}>
            {text.shoot.takeMarksOut}
          </button>
        )}
      </div>
    </section>
  );
}
