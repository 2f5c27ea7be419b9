// The words of the place Listen.

import type { About, Processing } from '../page/listen/input';
import type { Stopped } from '../page/listen/stopped';

export const listen = {
  title: 'Listen',
  noAddress: '--:--:--:--',
  waiting: 'Plug a device’s code in, and see what it says.',
  explanation:
    'Choose Listen and allow the microphone: that is what browsers call every input. What comes in is read on this device as it comes. Nothing is recorded unless you ask for it, and nothing leaves the device.',
  start: 'Listen',
  starting: 'Opening the input',
  stop: 'Stop',
  input: 'Input',
  systemInput: 'as the system has chosen',
  address: 'Time address now',
  stoppedAddress: 'The last time address',
  findings: 'What was noticed',
  noFindings: 'Nothing out of the ordinary.',
  userBits: 'User bits, every reading',
  compared: 'Against other clocks',
  offset: 'Apart by',
  pace: 'Parting by',
  hold: 'Hold',
  holdWhat: (channel: string) => `Hold: set this page’s clock from the code on ${channel}`,
  heldTitle: 'The clock that is held',
  heldExplanation:
    'This page’s own clock, set from the code that was heard. Unplug, and it runs on; plug the same code in again and hold it again to learn how far the two had drifted. Make can play it out. It is kept on this device: a page that is opened again has it, by the time of day.',
  letGo: 'Let it go',
  planTitle: 'What is planned',
  planExplanation:
    'What stands here is compared with the code as it is heard. It is kept on this device.',
  rate: 'Rate',
  counting: 'Counting',
  userBitsPlanned: 'User bits',
  userBitsNote: 'Eight digits, hexadecimal; a - where any digit will do.',
  anyRate: 'any',
  anyCounting: 'either',
  drop: 'drop-frame',
  nonDrop: 'non-drop',
  notRight: 'Not right:',
  inputTitle: 'The way of the sound',
  hearing: { nothing: 'no code', code: 'code', stopped: 'the code stopped' },
  record: 'Record',
  endRecord: 'End the recording',
  recordingSince: (seconds: number) => `Recording: ${Math.floor(seconds)} s`,
  recorded: (name: string, startsAt: string | undefined) =>
    startsAt === undefined
      ? `${name}: no code was heard, so it says no start time.`
      : `${name} begins at ${startsAt}; it says so itself, in bext and iXML.`,
  saveRecording: 'Save the recording',
  notRecorded: (detail: string) => `The recording could not be written: ${detail}.`,
  notRecordedRemedy: 'Make room on this device, then record again.',
  departs: (what: string) => `It ${what}.`,
  mark: 'Mark',
  marksTitle: 'Marks',
  marksExplanation:
    'Mark, or the space bar, notes the address of that moment. Word, scene and take can be filled in later. Marks are kept on this device until they are cleared.',
  markedFrom: { held: 'the clock that is held' },
  word: 'Word',
  scene: 'Scene',
  take: 'Take',
  removeMark: (address: string) => `Remove the mark at ${address}`,
  remove: 'Remove',
  marksTable: 'Marks as a table (CSV)',
  marksTimeline: 'Marks as a timeline (OTIO)',
  clearMarks: 'Clear all marks',
  bringBack: 'Bring them back',
  marksNotKept: (detail: string) =>
    `The browser does not keep the marks (${detail}): hand them over before this page is closed.`,
} as const;

/** Before a hand plugs something in. */
export const LISTEN_CAUTIONS: readonly string[] = [
  'A line output into a microphone input needs a pad of 30 to 40 dB, and phantom power off: it can harm what is plugged in.',
  'Take headphones off before code can reach them: it is loud and unpleasant.',
  'What this page shows is no trigger for pyrotechnics, lasers, flown scenery or stage automation: that is licensed work with its own certified control, under local rules.',
];

const PROCESSINGS: Record<Processing, string> = {
  echoCancellation: 'echo cancellation',
  noiseSuppression: 'noise suppression',
  autoGainControl: 'automatic gain',
};

/** What is known of the input, and what can't be. */
export function aboutInWords({ label, hertz, processed, unknown, latency }: About): string[] {
  const name = label === '' ? 'The input' : label;
  const on = processed.map((kind) => PROCESSINGS[kind]).join(', ');
  const untold = unknown.map((kind) => PROCESSINGS[kind]).join(', ');
  return [
    `${name}, ${hertz.toLocaleString('en')} samples a second.`,
    on === '' ? '' : `This browser would not switch off: ${on}. Code may be read badly for that.`,
    untold === '' ? '' : `This browser does not say whether these are off: ${untold}.`,
    on === '' && untold === ''
      ? 'Echo cancellation, noise suppression and automatic gain are off.'
      : '',
    latency === undefined
      ? 'This browser does not say how long sound takes from the socket to this page, so nothing is allowed for: what is shown may be some hundredths of a second late.'
      : `${latency.toFixed(0)} ms are allowed for on the way from the socket to this page, as browser and system state it. What an interface or a wireless link adds before can’t be known from here.`,
  ].filter((line) => line !== '');
}

/** Why listening ended, and what to do; nothing where somebody wanted it. */
export function stoppedInWords(stopped: Stopped): { text: string; remedy: string } | undefined {
  const again = 'Then press Listen again.';
  switch (stopped.because) {
    case 'asked':
      return undefined;
    case 'not-to-be-had':
      return {
        text: 'This browser lets no page use an input here.',
        remedy: 'Open the page over https or from this device itself, in a current browser.',
      };
    case 'refused':
      return {
        text: 'The microphone was not allowed, and to a browser every input is one.',
        remedy: `Allow it for this page: the sign beside the page’s address, or the system’s settings for this browser. ${again}`,
      };
    case 'no-input':
      return {
        text: 'There is no such input on this device.',
        remedy: `Plug one in, or choose another one. ${again}`,
      };
    case 'taken':
      return {
        text: 'The input could not be opened: another program may have it.',
        remedy: `Close what else uses it, or unplug it and plug it in again. ${again}`,
      };
    case 'vanished':
      return {
        text: 'The input is gone: it was unplugged, switched off, or its permission was taken back.',
        remedy: `Plug it in again. ${again} A clock that is held runs on.`,
      };
    case 'channels':
      return {
        text: 'The input has another number of channels now.',
        remedy: 'Press Listen again.',
      };
    case 'suspended':
      return {
        text: 'The browser put the sound aside: a call, another page, or a device that changed.',
        remedy: `Keep this page in front and the screen awake. ${again}`,
      };
    case 'frozen':
      return {
        text: 'The browser froze this page while it was not in front.',
        remedy: `Keep it in front, with the screen awake. ${again}`,
      };
    case 'broken':
      return {
        text: `Listening broke. That is a fault of Plumbline (${stopped.detail}).`,
        remedy: 'Press Listen again, and please send a report of the fault.',
      };
  }
}

export function missingInWords(milliseconds: number): string {
  return `${milliseconds.toFixed(0)} ms of sound never came from the browser: this device was too busy. What was in them counts as lost. Close what else is at work on it, and keep this page in front.`;
}
