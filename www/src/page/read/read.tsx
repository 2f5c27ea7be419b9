import { useRef } from 'preact/hooks';
import { text } from '../../text/en';
import { Announcer } from './announcer';
import { useDrop } from './drop';
import { Recordings } from './recordings';
import { SheetView } from './sheet';
import { add, addDemo, current, sheets } from './sheets';

/** The place Read. */
export function Read() {
  const input = useRef<HTMLInputElement>(null);
  const dragged = useDrop(take);
  const choose = () => input.current?.click();
  const sheet = current.value;
  return (
    <div class={dragged === 0 ? 'paper' : 'paper paper-open'}>
      <input
        ref={input}
        hidden
        type="file"
        multiple
        onChange={(event) => {
          take([...(event.currentTarget.files ?? [])]);
          event.currentTarget.value = '';
        }}
      />
      {dragged > 0 && <p class="let-go">{text.read.letGo}</p>}
      {sheets.value.length > 1 && <Recordings />}
      {sheet === undefined ? (
        <Invitation choose={choose} />
      ) : (
        <SheetView key={sheet.id} sheet={sheet} choose={choose} />
      )}
      <Announcer />
    </div>
  );
}

function take(files: readonly File[]): void {
  add(files);
}

function Invitation({ choose }: { choose: () => void }) {
  return (
    <section class="invitation" aria-labelledby="invitation">
      <h1 id="invitation" class="verdict">
        {text.read.invitation}
      </h1>
      <p class="explanation">{text.read.explanation}</p>
      <div class="actions">
        <button type="button" class="main" onClick={choose}>
          {text.read.choose}
        </button>
        <button type="button" onClick={addDemo}>
          {text.read.demo}
        </button>
      </div>
      <p class="formats">{text.read.formats}</p>
    </section>
  );
}
