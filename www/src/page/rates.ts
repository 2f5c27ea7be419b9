/** Frames a second, by the rates' names (SMPTE ST 12-1, and ST 12-3 above 60). */
export const RATES = [
  '23.976',
  '24',
  '25',
  '29.97',
  '30',
  '47.952',
  '48',
  '50',
  '59.94',
  '60',
  '100',
  '119.88',
  '120',
] as const;
