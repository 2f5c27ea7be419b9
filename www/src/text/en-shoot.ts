// The words around a shoot. What is said about it comes ready from the crates.

export const shoot = {
  title: 'All recordings on one clock',
  demo: 'Make a demo shoot',
  demoName: 'The last crossing',
  reading: (recordings: number) => `Reading ${recordings} recordings`,
  soFar: 'That is so far.',
  notLoaded: (detail: string) => `What puts recordings on one clock could not be loaded: ${detail}`,
  notLoadedRemedy: 'The recordings are read all the same; each has its own page.',
  tryAgain: 'Try again',
  readOf: (read: number, all: number) => `${read} of ${all} recordings read`,
  notRead: (recordings: number) =>
    recordings === 1
      ? 'One recording was taken out and has not been read.'
      : `${recordings} recordings were taken out and have not been read.`,
  notHere: (recordings: number) =>
    recordings === 1
      ? 'One recording was not read before the page was closed. Drop it again to read it.'
      : `${recordings} recordings were not read before the page was closed. Drop them again to read them.`,
  goOn: 'Go on reading',
  rolling: 'Who was rolling',
  clocks: 'How the clocks keep together',
  clocksCaption:
    'Frames by which a device’s own start times are ahead of the code in the same files, or one code ahead of another that was recorded beside it. A line that breaks is a clock that was set again.',
  clockWords: (name: string, from: string, to: string, lines: number) =>
    `${name}: from ${from} to ${to} against the code${lines > 1 ? `, set again ${lines - 1} times` : ''}.`,
  momentOfClocks: 'The clocks at a moment',
  apartHint: 'Point at a moment in the drawing to see how far the clocks were apart then.',
  apartAt: (address: string) => `Apart at ${address}`,
  marks: 'Marks',
  markAt: 'at',
  markNoted: 'noted',
  markRolling: 'who rolled',
  bringMarksIn: (marks: number) =>
    marks === 1 ? 'Bring in the mark from Listen' : `Bring in ${marks} marks from Listen`,
  takeMarksOut: 'Take the marks out',
  jam: 'How often to jam them',
  inWords: 'Who was rolling when, and the gaps',
  spanFrom: 'from',
  spanTo: 'to',
  spanWho: 'who rolled',
  moreSpans: (more: number) => `And ${more} more times.`,
  moment: 'Moment of the day',
  momentHint: 'Point at a moment to see its address and who was rolling.',
  at: (address: string, rolling: readonly string[], all: number) => {
    if (rolling.length === 0) return `${address} nobody`;
    return `${address} ${rolling.length === all && all > 1 ? `all ${all}` : rolling.join(', ')}`;
  },
  earlier: 'Earlier',
  later: 'Later',
  closer: 'Closer',
  further: 'Further away',
  whole: 'Whole day',
  recording: 'recording',
  device: 'device',
  startsAt: 'starts at',
  length: 'length',
  findings: 'findings',
  none: 'none',
  own: (findings: number) => `${findings} of its own`,
  aside: 'not read',
  codeOn: (by: string) => (by.startsWith('none') ? by.replace('none', 'no code') : `code on ${by}`),
  change: 'Change',
  changeOf: (name: string) => `Change ${name}`,
  changeNote:
    'What is changed here is marked as yours, and kept apart from what was measured. The recordings stay as they are.',
  fields: {
    device: 'Device',
    start: 'Address of the first frame',
    nudge: 'Later by so many frames, or samples',
    rate: 'Frame rate',
    reel: 'Reel',
  },
  undo: 'Undo the last change',
  devices: 'Devices',
  deviceName: 'Name',
  handOver: 'Hand over',
  shootName: 'Name of the shoot',
  unnamed: 'Shoot',
  save: 'Save',
  saveWhat: (what: string) => `Save: ${what}`,
  timeline: {
    title: 'Timeline',
    about: 'OpenTimelineIO: a track a device, each recording in its place, findings as markers.',
  },
  listsByDevice: {
    title: 'Edit lists, one a device',
    about: 'In the layout of CMX 3600, in whole frames.',
  },
  listForAll: {
    title: 'Edit list for all',
    about: 'The same in one list; what overlaps goes into a further one.',
  },
  table: { title: 'Table', about: 'CSV: a row for each recording.' },
  saved: {
    title: 'The shoot itself',
    about: 'JSON: drop it on this page to go on another day or on another device.',
  },
  paper: { title: 'Report on paper', about: 'This sheet, printed or saved as PDF.' },
  notOpened: (name: string) => `${name} can’t be opened as a shoot.`,
  known: (name: string) => `${name} is known from a saved shoot.`,
  addFiles: 'Add recordings',
  addFolder: 'Add a folder',
  clear: 'Clear this shoot',
  bringBack: 'Bring back the shoot',
} as const;
