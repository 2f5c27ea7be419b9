import type { OneClock } from '../../../wasm/plumbline';
import { text } from '../../../text/en';
import { download } from '../../download';
import { name, oneClock, rename } from './clock';
import { StampedCopies } from './copies-view';

/** What is handed over to the edit, each at one press. */
export function HandOver() {
  const clock = oneClock.value;
  if (clock === undefined) return null;
  return (
    <section class="hand-over">
      <h2>{text.shoot.handOver}</h2>
      <p class="shoot-name">
        <label for="shoot-name">{text.shoot.shootName}</label>
        <input
          id="shoot-name"
          type="text"
          autocomplete="off"
          value={name.value}
          placeholder={text.shoot.unnamed}
          onChange={(event) => rename(event.currentTarget.value.trim())}
        />
      </p>
      <ol>
        {WAYS.map(({ title, about, save }) => (
          <li key={title}>
            <div>
              <h3>{title}</h3>
              <p>{about}</p>
            </div>
            <button
              type="button"
              aria-label={text.shoot.saveWhat(title)}
              onClick={() => save(clock)}
            >
              {text.shoot.save}
            </button>
          </li>
        ))}
      </ol>
      <StampedCopies />
    </section>
  );
}

type Way = { title: string; about: string; save: (clock: OneClock) => void };

const WAYS: readonly Way[] = [
  {
    ...text.shoot.timeline,
    save: (clock) => hand('', 'otio', 'application/json', clock.timeline()),
  },
  {
    ...text.shoot.listsByDevice,
    save: (clock) => handAll(clock.lists_by_device().texts),
  },
  {
    ...text.shoot.listForAll,
    save: (clock) => handAll(clock.lists_for_all().texts),
  },
  {
    ...text.shoot.table,
    save: (clock) => hand('', 'csv', 'text/csv', clock.table()),
  },
  {
    ...text.shoot.saved,
    save: (clock) => hand('', 'json', 'application/json', clock.saved()),
  },
  { ...text.shoot.paper, save: () => print() },
];

function handAll(texts: readonly { name: string; text: string }[]): void {
  for (const { name: which, text: content } of texts) hand(which, 'edl', 'text/plain', content);
}

/** Letters that no file system takes. */
const NOT_IN_NAMES = /[\s\\/:*?"<>|\p{Cc}]+/gu;

function hand(which: string, ending: string, type: string, content: string): void {
  const shoot = name.value === '' ? text.shoot.unnamed : name.value;
  const whole = [shoot, which].filter((part) => part !== '').join(', ');
  download(`${whole.replace(NOT_IN_NAMES, ' ').trim()}.${ending}`, type, content);
}
