import { listen as words } from '../../text/en-listen';
import { Trouble } from '../trouble';
import { heard, recording } from './hearing';

/** A recording of what is heard: how long it is, or what became of it. */
export function RecordingView() {
  const now = recording.value;
  switch (now.is) {
    case 'off':
      return null;
    case 'on':
      return (
        <p class="recording" role="timer">
          {words.recordingSince((heard.value?.seconds ?? 0) - now.since)}
        </p>
      );
    case 'done':
      return (
        <div class="recording" role="status">
          <p>{words.recorded(now.recorded.name, now.recorded.startsAt)}</p>
          <div class="actions">
            <a class="button" href={now.address} download={now.recorded.name}>
              {words.saveRecording}
            </a>
          </div>
        </div>
      );
    case 'failed':
      return <Trouble text={words.notRecorded(now.detail)} remedy={words.notRecordedRemedy} />;
  }
}
