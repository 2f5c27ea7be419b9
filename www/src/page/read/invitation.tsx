import { useEffect, useState } from 'preact/hooks';
import { text } from '../../text/en';
import { forget, howMany } from './kept';
import type { Choose } from './read';
import { addDemo } from './sheets';
import { addDemoShoot, bringBack, canBringBack } from './shoot/clock';

/** The page before anything is on it. */
export function Invitation({ choose }: { choose: Choose }) {
  return (
    <section class="invitation" aria-labelledby="invitation">
      <h1 id="invitation" class="verdict">
        {text.read.invitation}
      </h1>
      <p class="explanation">{text.read.explanation}</p>
      <div class="actions">
        <button type="button" class="main" onClick={choose.files}>
          {text.read.choose}
        </button>
        <button type="button" onClick={choose.folder}>
          {text.read.chooseFolder}
        </button>
        {canBringBack.value && (
          <button type="button" onClick={bringBack}>
            {text.shoot.bringBack}
          </button>
        )}
        <button type="button" onClick={() => void addDemoShoot()}>
          {text.shoot.demo}
        </button>
        <button type="button" onClick={addDemo}>
          {text.read.demo}
        </button>
      </div>
      <p class="formats">{text.read.formats}</p>
      <Kept />
    </section>
  );
}

/** What is kept from earlier, and the way to be rid of it. */
function Kept() {
  const [kept, setKept] = useState(0);
  useEffect(() => void howMany().then(setKept), []);
  if (kept === 0) return null;
  return (
    <p class="kept">
      {text.read.kept(kept)}{' '}
      <button type="button" onClick={() => void forget().then(() => setKept(0))}>
        {text.read.forget}
      </button>
    </p>
  );
}
