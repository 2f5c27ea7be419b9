// The words around lining up by sound. What came of it comes ready from the crates.

export const sound = {
  beside: 'Line up by sound with',
  lineUp: 'Line up',
  working: (name: string) => `Listening to it and to ${name}`,
  stopped: 'It was stopped, and nothing was changed.',
  note: 'For a recording that heard what another one heard. Sound takes 2.9 ms for a metre, so it is placed where the sound arrived.',
  nothingToLineUpWith:
    'To line it up by its sound, drop a recording that has code and heard the same; it must be at hand, not only known from before.',
  notAtHand: 'To line it up by its sound, drop it on this page again.',
  forget: 'Take this back',
  besideName: (name: string) => `Beside ${name}.`,
} as const;
