import { signal } from '@preact/signals';
import { workOut as words } from '../../text/en-work-out';

type Typed = HTMLInputElement | HTMLTextAreaElement;

/** Whether fields are filled in with the page's own keypad: by itself where there is a finger
 * and no mouse. */
export const keypad = signal(matchMedia('(pointer: coarse)').matches);

const ROWS = [
  ['7', '8', '9', ':', 'back'],
  ['4', '5', '6', ';', '+'],
  ['1', '2', '3', '.', '-'],
  ['0', '00', ' ', '*', '/'],
] as const;

/** The field that was typed in last. */
let field: Typed | undefined;

/** Remembers where the keys go. */
export function focused(element: EventTarget | null): void {
  if (element instanceof HTMLInputElement || element instanceof HTMLTextAreaElement) {
    field = element;
  }
}

/** Large keys for what times are typed with. */
export function Keypad() {
  return (
    <div class="keypad">
      <button type="button" aria-pressed={keypad.value} onClick={turn}>
        {keypad.value ? words.keyboard : words.keypad}
      </button>
      {keypad.value && (
        <div class="keys" role="group" aria-label={words.keypad}>
          {ROWS.flat().map((key) => (
            <button
              key={key}
              type="button"
              aria-label={words.keys[key] ?? key}
              // The field keeps the focus, and its place to type.
              onPointerDown={(event) => event.preventDefault()}
              onClick={() => press(key)}
            >
              {key === 'back' ? '⌫' : key === ' ' ? '␣' : key}
            </button>
          ))}
        </div>
      )}
    </div>
  );
}

function turn(): void {
  keypad.value = !keypad.value;
}

function press(key: (typeof ROWS)[number][number]): void {
  if (field === undefined || !field.isConnected) return;
  const { selectionStart, selectionEnd, value } = field;
  const end = selectionEnd ?? value.length;
  const start = selectionStart ?? end;
  if (key === 'back')
    field.setRangeText('', start === end ? Math.max(0, start - 1) : start, end, 'end');
  else field.setRangeText(key, start, end, 'end');
  field.dispatchEvent(new Event('input', { bubbles: true }));
}
