// Everything by which a browser may disturb sound that must not be disturbed.

import { mediaDevices } from '../../devices';
import type { Because } from './ended';

/** Calls `end` at the first disturbance. Gives what takes the guard off again. */
export function guard(context: AudioContext, end: (because: Because) => void): () => void {
  const off = new AbortController();
  const on = (target: EventTarget | undefined, kind: string, then: () => void) =>
    target?.addEventListener(kind, then, { signal: off.signal });

  on(context, 'statechange', () => {
    const because = disturbed(context.state);
    if (because !== undefined) end(because);
  });
  on(context, 'sinkchange', () => end('sink'));
  on(mediaDevices(), 'devicechange', () => end('devices'));
  on(document, 'freeze', () => end('frozen'));
  on(window, 'pagehide', () => end('left'));
  return () => off.abort();
}

function disturbed(state: AudioContextState): Because | undefined {
  switch (state) {
    case 'running':
      return undefined;
    case 'suspended':
    case 'interrupted':
    case 'closed':
      return state;
  }
}
