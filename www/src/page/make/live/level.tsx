import { useId } from 'preact/hooks';
import { dbfs, live as words } from '../../../text/en-live';
import { level, LOWEST_LEVEL, setLevel } from './playing';

/** How loud the code comes out. */
export function Level() {
  const id = useId();
  const said = dbfs(level.value);
  return (
    <div class="level">
      <label for={id}>{words.level}</label>
      <input
        id={id}
        type="range"
        min={LOWEST_LEVEL}
        max={0}
        step={1}
        value={level.value}
        aria-valuetext={said}
        onInput={(event) => setLevel(event.currentTarget.valueAsNumber)}
      />
      <span class="level-said" aria-hidden="true">
        {said}
      </span>
    </div>
  );
}
