// The words about code that is played out of this device.

import type { Awake } from '../page/make/live/awake';
import type { Ended } from '../page/make/live/ended';
import type { Latency } from '../page/make/live/module';
import type { Flash } from '../page/make/live/playing';

export const live = {
  title: 'Out of this device, now',
  explanation:
    'Code out of the headphone or line socket, both sides alike, for as long as you like: it counts on past midnight. Length, takes, level and sample rate above are for the file.',
  from: 'Starts with',
  fromTyped: 'the first time address',
  fromClock: 'this device’s time of day',
  fromHeld: 'the clock that is held',
  fromHeldNote:
    'The code at the socket agrees with the clock that was set in Listen, and from then on runs by this device’s sound clock. Rate and counting must be those of that clock.',
  fromTypedNote: 'The first codeword carries it. It leaves a moment after the button is pressed.',
  fromClockNote:
    'The code at the socket agrees with this device’s clock. That clock may itself be off: compare it with a good one first.',
  heard: 'What is heard',
  heardCode: 'the code',
  heardBeeps: 'only a beep with each flash',
  heardBeepsNote:
    'For a camera with no input: the code counts without a sound, the screen flashes and beeps.',
  level: 'Level, dBFS peak',
  start: 'Start',
  starting: 'Starting',
  stop: 'Stop',
  escape: 'Escape stops too.',
  playing: 'Code is playing',
  beeping: 'Code counts without a sound',
  address: 'Time address at the socket',
  jam: 'Jam to the time of day',
  jamWhat: 'Jam the code to this device’s time of day, once',
  jamHeld: 'Jam to the clock that is held',
  jamHeldWhat: 'Jam the code to the clock that is held in Listen, once',
  slate: 'Full screen',
  slateTitle: 'Slate',
  leaveSlate: 'Leave full screen',
  flash: 'Flash',
  flashAndBeep: 'Flash and beep',
  flashes: 'Flashes',
  flashWords:
    'The screen turns white for one frame, with the codeword whose address is noted here. A screen shows a picture one refresh late or more, a television much more, and that can’t be measured from here: trust the flash to a frame or two, the beep to what is said of the sound.',
  howKept: 'How it keeps',
} as const;

/** A level with a true minus sign. */
export function dbfs(level: number): string {
  return `${level < 0 ? '−' : ''}${Math.abs(level)} dBFS`;
}

/** What is allowed for between making a sample and the socket, and what can't be known. */
export function latencyInWords({ milliseconds, knownBy }: Latency): string {
  const figure = `${milliseconds.toFixed(0)} ms`;
  const unknown =
    'What comes after can’t be known from here: a wireless link, a television or a converter may add tenths of a second.';
  switch (knownBy) {
    case 'measured':
      return `${figure} is allowed for on the way to the socket, as this browser measures it. ${unknown}`;
    case 'stated':
      return `${figure} is allowed for on the way to the socket, as this browser states it. ${unknown}`;
    case 'nothing':
      return `This browser does not say how long sound takes to the socket, so nothing is allowed for: the code may come out some hundredths of a second late. ${unknown}`;
  }
}

export function awakeInWords(awake: Awake): string {
  switch (awake) {
    case 'asked':
      return '';
    case 'kept':
      return 'The screen is kept awake.';
    case 'refused':
      return 'The browser refused to keep the screen awake: a battery that is low may be why. Keep it awake by hand, or the code may stop.';
    case 'not-to-be-had':
      return 'This browser can’t keep the screen awake. Do it by hand, or the code may stop.';
  }
}

export function flashInWords({ came }: Flash): string {
  switch (came) {
    case 'not-yet':
      return 'to come';
    case 'in-time':
      return 'shown';
    case 'too-late':
      return 'not shown: the screen was too slow';
  }
}

/** Why code ended, and what to do; nothing where somebody wanted it. */
export function endedInWords(ended: Ended): { text: string; remedy: string } | undefined {
  const again = 'Press Start again; the level is low again.';
  const checked = `Check what is plugged in where, then start again. The level is low again.`;
  switch (ended.because) {
    case 'asked':
    case 'left':
      return undefined;
    case 'wrong':
      return {
        text: `A setting is not right: ${ended.problems.map(({ text }) => text).join(' ')}`,
        remedy: ended.problems.map(({ remedy }) => remedy).join(' '),
      };
    case 'let-go':
      return {
        text: 'No clock is held any more.',
        remedy: 'Hold one in Listen, or start otherwise.',
      };
    case 'no-sound':
      return {
        text: 'The browser let no sound out: there is no sound device, or it is not allowed to play.',
        remedy: 'Plug one in or allow this page to play sound, then press Start again.',
      };
    case 'missing':
      return {
        text: `The browser left out a piece of the sound (${ended.detail}), so the code would have come out late.`,
        remedy: `Close what else is at work on this device. ${again}`,
      };
    case 'moved':
      return {
        text: ended.detail,
        remedy: `Close what else is at work on this device, and leave what is plugged in alone. ${again}`,
      };
    case 'silent':
      return {
        text: 'The browser made no sound any more, without saying why.',
        remedy: `Keep this page in front, and close what else is at work on this device. ${again}`,
      };
    case 'suspended':
      return {
        text: 'The browser put the sound aside.',
        remedy: `Keep this page in front and the screen awake. ${again}`,
      };
    case 'interrupted':
      return {
        text: 'Something else on this device took the sound: a call, an alarm or another page.',
        remedy: `Switch to flight mode or silence what interrupts. ${again}`,
      };
    case 'closed':
      return { text: 'The browser closed the output.', remedy: again };
    case 'devices':
      return { text: 'A sound device was plugged in or taken away.', remedy: checked };
    case 'sink':
      return { text: 'The sound went over to another device.', remedy: checked };
    case 'frozen':
      return {
        text: 'The browser froze this page while it was not in front.',
        remedy: `Keep it in front, with the screen awake. ${again}`,
      };
    case 'broken':
      return {
        text: `The player broke. That is a fault of Plumbline (${ended.detail}).`,
        remedy: `${again} Please send a report of the fault, with the link.`,
      };
  }
}
