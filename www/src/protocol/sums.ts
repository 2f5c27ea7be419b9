// Everything that crosses the border between the place Work out and its worker.

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
} from '../wasm/plumbline';

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

export type ToSums =
  { kind: 'begin'; request: number } | { kind: 'work-out'; request: number; asked: Asked };

export type FromSums =
  | { kind: 'begun'; request: number; forms: Forms; help: Topic[] }
  | { kind: 'worked-out'; request: number; answered: Answered }
  | { kind: 'broken'; request: number; detail: string };
