// The sums of the parts, worked out on the page itself: they take less time than a worker's answer
// would be on its way.

import type {
  AddressForm,
  Answer,
  ClocksForm,
  RowsAnswer,
  RowsForm,
  SpeedsForm,
  Topic,
  UserBitsForm,
  Worked,
  Worksheet,
} from '../../wasm/plumbline';
import { unreachable } from '../../protocol/messages';
import { pageModule } from '../module';

export type { Answer, RowsAnswer, Topic, Worked };

/** The parts of the place, with what stands in their fields, as typed. */
export type Forms = {
  address: Required<AddressForm>;
  worksheet: Required<Worksheet>;
  rows: Required<RowsForm>;
  clocks: Required<ClocksForm>;
  speeds: Required<SpeedsForm>;
  user_bits: Required<UserBitsForm>;
};

export type Part = keyof Forms;

/** What the parts answer with. */
export type Answers = {
  address: Answer;
  worksheet: Worked;
  rows: RowsAnswer;
  clocks: Answer;
  speeds: Answer;
  user_bits: Answer;
};

/** A part with what stands in its fields. */
export type Asked = { [P in Part]: { part: P; form: Forms[P] } }[Part];

/** A part with what that comes to. */
export type Answered = { [P in Part]: { part: P; answer: Answers[P] } }[Part];

/** The module that works out, loaded. */
type Module = typeof import('../../wasm/plumbline');

export class Sums {
  private constructor(private readonly module: Module) {}

  /** Loads what works out: only this place needs it on the page. */
  static async load(): Promise<Sums> {
    return new Sums(await pageModule());
  }

  /** What stands in the fields before somebody types. */
  forms(): Forms {
    const { module } = this;
    return {
      address: module.default_address_form() as Forms['address'],
      worksheet: module.default_worksheet() as Forms['worksheet'],
      rows: module.default_rows_form() as Forms['rows'],
      clocks: module.default_clocks_form() as Forms['clocks'],
      speeds: module.default_speeds_form() as Forms['speeds'],
      user_bits: module.default_user_bits_form() as Forms['user_bits'],
    };
  }

  /** The worksheet's syntax, explained. */
  help(): Topic[] {
    return this.module.worksheet_help();
  }

  workOut({ part, form }: Asked): Answered {
    const { module } = this;
    switch (part) {
      case 'address':
        return { part, answer: module.work_out_address(form) };
      case 'worksheet':
        return { part, answer: module.worksheet(form) };
      case 'rows':
        return { part, answer: module.work_out_rows(form) };
      case 'clocks':
        return { part, answer: module.work_out_clocks(form) };
      case 'speeds':
        return { part, answer: module.work_out_speeds(form) };
      case 'user_bits':
        return { part, answer: module.work_out_user_bits(form) };
      default:
        return unreachable(part);
    }
  }
}
