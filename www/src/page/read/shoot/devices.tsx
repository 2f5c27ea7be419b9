import { text } from '../../../text/en';
import { Facts } from '../../facts';
import { change, changed } from './changes';
import { shoot } from './clock';

/** Who made the recordings: a name that can be changed, and how its clock keeps. */
export function Devices() {
  const devices = shoot.value?.devices ?? [];
  return (
    <section class="devices">
      <h2>{text.shoot.devices}</h2>
      {devices.map(({ key, name, facts }) => (
        <div class="device" key={key}>
          <p>
            <label for={`device-${key}`}>{text.shoot.deviceName}</label>
            <input
              id={`device-${key}`}
              type="text"
              autocomplete="off"
              value={name}
              onChange={(event) => rename(key, event.currentTarget.value)}
            />
          </p>
          <Facts facts={facts} />
        </div>
      ))}
    </section>
  );
}

function rename(key: string, name: string): void {
  const { names = {}, recordings = {} } = changed.value;
  change({ corrections: { names: { ...names, [key]: name }, recordings } });
}
