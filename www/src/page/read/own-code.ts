import type { Reading } from '../../protocol/messages';

type Report = Reading['report'];

/** Channels with code of their own, counted from 0: not those into which another's only leaks. */
export function withOwnCode({ codes }: Report): number[] {
  const own = codes.filter(({ findings }) => findings.every(({ kind }) => kind !== 'bled'));
  return own.map(({ channel }) => channel);
}

/** Channels that hold no sound of the place, which is taken from one without any code if there is one. */
export function withoutSound(report: Report): number[] {
  const coded = report.codes.map(({ channel }) => channel);
  return coded.length < (report.channels ?? 0) ? coded : withOwnCode(report);
}
