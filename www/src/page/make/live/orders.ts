// Orders for live code, from the maker.

import type { Order } from '../../../protocol/live';
import type { Settings } from '../../../protocol/make';
import type { LiveFrom, LiveHeard } from '../../../wasm/plumbline';
import { maker } from '../maker';
import { Ended } from './ended';

/** Gives orders for code with these settings. */
export function ordersFor(settings: Settings, heard: LiveHeard) {
  return async (start: LiveFrom, output_hertz: number): Promise<Order> => {
    const live = { start, heard, output_hertz };
    const answer = await maker.ask({ kind: 'order', settings, live });
    if (answer.kind !== 'order') {
      throw new Ended('broken', 'problem' in answer ? answer.problem.detail : '');
    }
    if (answer.answer.is === 'wrong') throw new Ended('wrong', '', answer.answer.problems);
    return answer.answer.bytes;
  };
}
