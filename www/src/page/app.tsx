import { signal } from '@preact/signals';
import { text } from '../text/en';
import { LiveBar } from './make/live/bar';
import { Mark } from './mark';
import { offline, useNewVersion } from './offline';
import { places } from './places';

const address = signal(placeInAddress());
addEventListener('hashchange', () => {
  address.value = placeInAddress();
});

/** The place's id; what a place keeps in the address stands behind a question mark. */
function placeInAddress(): string | undefined {
  return location.hash.slice(1).split('?', 1)[0];
}

export function App() {
  const place = places.find(({ id }) => id === address.value) ?? places[0];
  const Page = place.page;
  return (
    <>
      <a class="skip" href="#sheet" onClick={skip}>
        {text.skip}
      </a>
      <header class="head">
        <p class="name">
          <Mark /> Plumbline
        </p>
        <nav class="places" aria-label="Places" data-places={places.length}>
          {places.map(({ id, name }) => (
            <a key={id} href={`#${id}`} aria-current={id === place.id ? 'page' : undefined}>
              {name}
            </a>
          ))}
        </nav>
      </header>
      <main id="sheet" tabIndex={-1}>
        <Page />
      </main>
      <LiveBar />
      <footer class="foot">
        <p>
          {text.private} {offline.value === 'unknown' ? '' : text.offline}
        </p>
        {offline.value === 'new-version' && <NewVersion />}
      </footer>
    </>
  );
}

/** The hash is the place's, so the way past the head is gone by hand. */
function skip(event: Event): void {
  event.preventDefault();
  document.getElementById('sheet')?.focus();
}

function NewVersion() {
  return (
    <p class="new-version" role="status">
      <strong>{text.newVersion}</strong> {text.newVersionCosts}{' '}
      <button type="button" onClick={useNewVersion}>
        {text.useNewVersion}
      </button>
    </p>
  );
}
