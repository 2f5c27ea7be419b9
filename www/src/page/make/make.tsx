import { useEffect } from 'preact/hooks';
import { live } from '../../text/en-live';
import { make as words, makeProblemInWords } from '../../text/en-make';
import { Addresses } from '../addresses';
import { Facts } from '../facts';
import { Trouble } from '../trouble';
import { Announcer } from './announcer';
import { ToFile } from './file';
import { Form } from './form';
import { Live } from './live/live';
import { begin, facts, settings, sketch, trouble } from './settings';

/** The place Make. */
export function Make() {
  useEffect(() => void begin(), []);
  return (
    <div class="paper">
      <article class="sheet make">
        <Head />
        {sketch.value !== undefined && (
          <>
            <Form />
            <ToFile />
            {settings.value !== undefined && <Live settings={settings.value} />}
          </>
        )}
      </article>
      <Announcer />
    </div>
  );
}

/** Where an address will stand once there is one. */
const missing = <span class="missing">{words.noAddress}</span>;

/** What will be made: the sentence, the ends, the facts. */
function Head() {
  const now = sketch.value;
  return (
    <>
      <div class="file-line">
        <p>{words.title}</p>
        <p class="file-name">{now?.file_name ?? ''}</p>
      </div>
      <h1 class="verdict">{now?.verdict ?? words.waiting}</h1>
      {trouble.value !== undefined && (
        <>
          <Trouble {...makeProblemInWords(trouble.value)} />
          <button type="button" class="main" onClick={() => void begin()}>
            {words.again}
          </button>
        </>
      )}
      {now !== undefined && (
        <>
          <Addresses
            first={{ label: words.firstAddress, value: now.ends?.first ?? missing }}
            last={{ label: words.lastAddress, value: now.ends?.last ?? missing }}
          />
          <Facts facts={facts.value} />
          <Ways />
        </>
      )}
    </>
  );
}

/** Past the form to what can be done with it. */
function Ways() {
  const ways = [
    { id: 'to-file-title', name: words.toFile },
    { id: 'live-title', name: live.title },
  ];
  return (
    <div class="actions ways">
      {ways.map(({ id, name }) => (
        <button key={id} type="button" onClick={() => goTo(id)}>
          {name}
        </button>
      ))}
    </div>
  );
}

function goTo(id: string): void {
  const title = document.getElementById(id);
  title?.focus({ preventScroll: true });
  title?.scrollIntoView();
}
