import { useEffect, useRef } from 'preact/hooks';
import { text } from '../../text/en';
import { Announcer } from './announcer';
import { useDrop } from './drop';
import { chosen, type Delivery } from './incoming';
import { leftAlone, take } from './hand-in';
import { Invitation } from './invitation';
import { SheetView } from './sheet';
import { current, sheets, warm } from './sheets';
import { notOpened, recall } from './shoot/clock';
import { Trouble } from '../trouble';
import { ShootView } from './shoot/shoot';

/** The place Read. */
export function Read() {
  const input = useRef<HTMLInputElement>(null);
  const dragged = useDrop(take);
  const choose = {
    files: () => open(input.current, 'files'),
    folder: () => open(input.current, 'folder'),
  };
  useEffect(() => {
    warm();
    void recall();
  }, []);
  const sheet = current.value;
  return (
    <div class={dragged === 0 ? 'paper' : 'paper paper-open'}>
      <input ref={input} hidden type="file" multiple onChange={takeChosen} />
      {dragged > 0 && <p class="let-go">{text.read.letGo}</p>}
      {leftAlone.value > 0 && <p class="progress-note">{text.read.leftAlone(leftAlone.value)}</p>}
      {notOpened.value !== undefined && <NotOpened {...notOpened.value} />}
      {sheets.value.length === 0 ? (
        <Invitation choose={choose} />
      ) : sheet === undefined ? (
        <ShootView choose={choose} />
      ) : (
        <SheetView key={sheet.id} sheet={sheet} choose={choose.files} />
      )}
      <Announcer />
    </div>
  );
}

/** A saved shoot that could not be opened. */
function NotOpened({ name, text: what, remedy }: { name: string; text: string; remedy: string }) {
  return (
    <div role="alert">
      <h2>{text.shoot.notOpened(name)}</h2>
      <Trouble text={`${what}.`} remedy={remedy} />
    </div>
  );
}

/** The ways to choose what is read. */
export type Choose = { files: () => void; folder: () => void };

/** Opens the browser's own dialogue. */
function open(input: HTMLInputElement | null, what: keyof Choose): void {
  if (input === null) return;
  input.webkitdirectory = what === 'folder';
  input.click();
}

function takeChosen(event: Event): void {
  const input = event.currentTarget as HTMLInputElement;
  const delivery: Delivery = chosen(input.files);
  // The same file can be chosen again.
  input.value = '';
  take(delivery);
}
