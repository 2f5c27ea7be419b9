// The worker of the place Work out: it answers one question after the other, at once.

import { unreachable } from '../protocol/messages';
import type { Answered, Asked, Forms, FromSums, ToSums } from '../protocol/sums';
import init, * as sums from '../wasm/plumbline';

const module = init();

addEventListener('message', (event: MessageEvent<ToSums>) => {
  void hear(event.data);
});

function post(message: FromSums): void {
  postMessage(message);
}

async function hear(message: ToSums): Promise<void> {
  const { request } = message;
  try {
    await module;
    post(answerTo(message));
  } catch (error) {
    post({ kind: 'broken', request, detail: error instanceof Error ? error.message : `${error}` });
  }
}

function answerTo(message: ToSums): FromSums {
  const { request } = message;
  switch (message.kind) {
    case 'begin':
      return { kind: 'begun', request, forms: forms(), help: sums.worksheet_help() };
    case 'work-out':
      return { kind: 'worked-out', request, answered: workOut(message.asked) };
    default:
      return unreachable(message);
  }
}

/** What stands in the fields before somebody types. */
function forms(): Forms {
  return {
    address: sums.default_address_form() as Forms['address'],
    worksheet: sums.default_worksheet() as Forms['worksheet'],
    rows: sums.default_rows_form() as Forms['rows'],
    clocks: sums.default_clocks_form() as Forms['clocks'],
    speeds: sums.default_speeds_form() as Forms['speeds'],
    user_bits: sums.default_user_bits_form() as Forms['user_bits'],
  };
}

function workOut({ part, form }: Asked): Answered {
  switch (part) {
    case 'address':
      return { part, answer: sums.work_out_address(form) };
    case 'worksheet':
      return { part, answer: sums.worksheet(form) };
    case 'rows':
      return { part, answer: sums.work_out_rows(form) };
    case 'clocks':
      return { part, answer: sums.work_out_clocks(form) };
    case 'speeds':
      return { part, answer: sums.work_out_speeds(form) };
    case 'user_bits':
      return { part, answer: sums.work_out_user_bits(form) };
    default:
      return unreachable(part);
  }
}
