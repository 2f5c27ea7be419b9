import { type ReadonlySignal, type Signal, useSignal } from '@preact/signals';
import { useMemo, useRef } from 'preact/hooks';
import type { CodewordReading } from '../../protocol/messages';
import { codewordAt, type Sheet } from './sheets';

/** A place in a channel. */
export type Place = { channel: number; second: number };

/** The place that someone points at, and what is known of it. */
export type Pointed = Place & {
  codeword: CodewordReading | undefined;
  /** Why none can be shown. */
  refused?: string | undefined;
  asking: boolean;
};

export type Codewords = {
  pointed: ReadonlySignal<Pointed | undefined>;
  /** Asks for the codeword nearest to a place. */
  ask: (place: Place) => void;
};

/** Asks the worker for codewords, one question at a time: while one is open, the newest waits. */
export function useCodewords(sheet: Sheet): Codewords {
  const pointed: Signal<Pointed | undefined> = useSignal(undefined);
  const open = useRef(false);
  return useMemo(() => {
    const answer = async (place: Place): Promise<void> => {
      const { codeword, refused } = await codewordAt(sheet, place.channel, place.second);
      const wanted = pointed.peek();
      const newer = wanted?.channel !== place.channel || wanted.second !== place.second;
      if (wanted !== undefined && newer) return answer(wanted);
      pointed.value = {
        channel: place.channel,
        second: codeword?.second ?? place.second,
        codeword,
        refused,
        asking: false,
      };
    };
    const ask = (place: Place) => {
      pointed.value = { ...place, codeword: pointed.peek()?.codeword, asking: true };
      if (open.current) return;
      open.current = true;
      void answer(place).finally(() => {
        open.current = false;
      });
    };
    return { pointed, ask };
  }, [sheet, pointed]);
}
