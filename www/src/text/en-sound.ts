// The words around lining up by sound. What came of it comes ready from the crates.

export const sound = {
  beside: 'Line up by sound with',
  lineUp: 'Line up',
  lookInAll: (recordings: number) => `Look for it by sound in all ${recordings} recordings`,
  lookForAll: (recordings: number) =>
    recordings === 1
      ? 'Look by sound for the recording without a place'
      : `Look by sound for the ${recordings} recordings without a place`,
  rough: 'It begins at about',
  roughUnknown: 'not known',
  giveOrTake: 'Give or take',
  seconds: (seconds: number) => (seconds < 60 ? `${seconds} s` : `${seconds / 60} min`),
  working: (own: string, name: string, number: number, of: number) =>
    of === 1
      ? `Listening to ${own} and to ${name}`
      : `Listening to ${own} and to ${name}, ${number} of ${of}`,
  searched: (heard: number, of: number, stopped: boolean) => {
    const all = of === 1 ? 'one recording' : `${of} recordings`;
    const said =
      heard === 0
        ? `Compared with ${all}: it was heard beside none without doubt.`
        : `Compared with ${all}: heard beside ${heard} of them.`;
    return stopped ? `Stopped. ${said}` : said;
  },
  stopped: 'It was stopped, and nothing was changed.',
  note: 'For a recording that heard what another one heard. Sound takes 2.9 ms for a metre, so it is placed where the sound arrived.',
  nothingToLineUpWith:
    'To line it up by its sound, drop a recording that has code and heard the same; it must be at hand, not only known from before.',
  notAtHand: 'To line it up by its sound, drop it on this page again.',
  forget: 'Take this back',
  besideName: (name: string) => `Beside ${name}.`,
} as const;
