// Values of Work out that stand in a standard or follow from one, as somebody would read them.

/** What stands on the page: under the title of each table, the value of each label. */
export type Shown = Record<string, Record<string, string>>;

export type Sheet = {
  /** The document and clause that the values come from. */
  source: string;
  /** What the page is opened with: the part and its fields, as they stand in a link. */
  fields: { part: string } & Record<string, string>;
  tables: Shown;
};

/** All that a part shows: every label of every table, so that no value goes without a check. */
export const WHOLE: readonly Sheet[] = [
  // SMPTE ST 2059-1 clause 9.3.3.4 makes 107892 frames of it, EBU Tech 3285 and IEC 60461 A.3 the
  // samples, ST 12-1 tables 2 to 5 the bits. Other rates: counted and rescaled by libavutil 57, as
  // the oracle sums.py does. Feet: common practice, 16 and 40 frames.
  {
    source: 'SMPTE ST 2059-1 clause 9.3.3.4: an hour of drop-frame',
    fields: { part: 'address', text: '01:00:00;00', rate: '29.97', counting: 'drop' },
    tables: {
      'This moment': {
        'Time address': '01:00:00;00',
        'Frames since midnight': '107892',
        'Real time since midnight': '00:59:59.996400',
        'Seconds since midnight': '3599.9964',
      },
      'Against the clock on the wall': {
        'Real time when the frame begins': '00:59:59.996400',
        'Non-drop-frame': '00:59:56:12',
        'Non-drop-frame, ms ahead of the clock': '−3596.4',
        'Drop-frame': '01:00:00;00',
        'Drop-frame, ms ahead of the clock': '3.6',
        'Numbers skipped since midnight': '108',
        'A day of non-drop-frame addresses lasts': '24:01:26.400000',
        'A day of drop-frame addresses lasts': '23:59:59.913600',
      },
      'Samples since midnight': {
        'At 44.1 kHz': '158759841',
        'At 48 kHz': '172799827',
        'At 88.2 kHz': '317519682',
        'At 96 kHz': '345599654',
        'At 192 kHz': '691199309',
        'At 47.952 kHz (48000/1.001)': '172627200',
        'At 48.048 kHz': '172972627',
      },
      'Time reference of a bext chunk at 48 kHz': {
        'Time reference': '172799827',
        'High word': '0',
        'Low word': '172799827',
        'Bytes from 338 on': '53 B7 4C 0A 00 00 00 00',
      },
      'The same instant at every rate': {
        '23.976': '00:59:56:10',
        '24': '01:00:00:00',
        '25': '01:00:00:00',
        '29.97': '00:59:56:12',
        '29.97 drop-frame': '01:00:00;00',
        '30': '01:00:00:00',
        '30 drop-frame': '01:00:03;18',
        '47.952': '00:59:56:19',
        '48': '01:00:00:00',
        '50': '01:00:00:00',
        '59.94': '00:59:56:24',
        '59.94 drop-frame': '01:00:00;00',
        '60': '01:00:00:00',
        '60 drop-frame': '01:00:03;36',
        '100': '01:00:00:00',
        '119.88': '00:59:56:048',
        '119.88 drop-frame': '01:00:00;000',
        '120': '01:00:00:000',
        '120 drop-frame': '01:00:03;072',
      },
      'The same frame number at every rate': {
        '23.976': '01:14:55:12',
        '24': '01:14:55:12',
        '25': '01:11:55:17',
        '29.97': '00:59:56:12',
        '29.97 drop-frame': '01:00:00;00',
        '30': '00:59:56:12',
        '30 drop-frame': '01:00:00;00',
        '47.952': '00:37:27:36',
        '48': '00:37:27:36',
        '50': '00:35:57:42',
        '59.94': '00:29:58:12',
        '59.94 drop-frame': '00:30:00;00',
        '60': '00:29:58:12',
        '60 drop-frame': '00:30:00;00',
        '100': '00:17:58:92',
        '119.88': '00:14:59:012',
        '119.88 drop-frame': '00:14:59;116',
        '120': '00:14:59:012',
        '120 drop-frame': '00:14:59;116',
      },
      'The codeword, with user bits 0': {
        'Address in the codeword': '01:00:00;00',
        '80 bits, as they are sent':
          '00000000 00100000 00000000 00010000 00000000 00000000 10000000 00000000 00111111 11111101',
        '10 bytes': '00 04 00 08 00 00 01 00 FC BF',
      },
      'The codeword, field by field': {
        'Bits 0 to 3: frame units': '0000',
        'Bits 4 to 7: binary group 1': '0000',
        'Bits 8 to 9: frame tens': '00',
        'Bit 10: drop-frame flag': '1',
        'Bit 11: colour-frame flag': '0',
        'Bits 12 to 15: binary group 2': '0000',
        'Bits 16 to 19: second units': '0000',
        'Bits 20 to 23: binary group 3': '0000',
        'Bits 24 to 26: second tens': '000',
        'Bit 27: polarity correction': '1',
        'Bits 28 to 31: binary group 4': '0000',
        'Bits 32 to 35: minute units': '0000',
        'Bits 36 to 39: binary group 5': '0000',
        'Bits 40 to 42: minute tens': '000',
        'Bit 43: binary group flag 0': '0',
        'Bits 44 to 47: binary group 6': '0000',
        'Bits 48 to 51: hour units': '1000',
        'Bits 52 to 55: binary group 7': '0000',
        'Bits 56 to 57: hour tens': '00',
        'Bit 58: binary group flag 1': '0',
        'Bit 59: binary group flag 2': '0',
        'Bits 60 to 63: binary group 8': '0000',
        'Bits 64 to 79: synchronizing word': '0011111111111101',
      },
      'Film, a picture for every frame': {
        '35 mm, 4 perforations, feet+frames': '6743+04',
        '16 mm, feet+frames': '2697+12',
      },
    },
  },
  // IEC 60461 clause 8.4: 100 parts in a million are 360 ms an hour. Nine frames in ten hours at 25:
  // 9 ÷ 900000; four readings good to half a frame, so 2 ÷ 900000, and by JCGM 100 clause 4.3.7 each
  // has a standard uncertainty of 0.5 ÷ √3. The classes: IEC 60461 clause 8.4; AES11 and IEC 60958,
  // second-hand; makers' figures; the crystal's curve and plain quartz from memory.
  {
    source: 'IEC 60461 clause 8.4: ±100 ppm',
    fields: {
      part: 'clocks',
      drift: '100',
      first_tolerance: '100',
      second_tolerance: '100',
      temperature: '0',
      first_before: '10:00:00:00',
      second_before: '10:00:00:00',
      first_after: '20:00:00:00',
      second_after: '20:00:00:09',
    },
    tables: {
      'Two clocks': {
        'Both tolerances together, in ppm': '200',
        'Until a quarter of a frame': '50 s',
        'Until half a frame': '1 min 40 s',
        'Until a whole frame': '3 min 20 s',
        'Jam again every': '1 min 40 s',
      },
      Drift: {
        ppm: '100',
        'Milliseconds an hour': '360',
        'Frames at 25 an hour': '9',
        'Milliseconds in a day of 10 h': '3600',
        'Frames at 25 in a day of 10 h': '90',
        'Milliseconds in 24 h': '8640',
        'Frames at 25 in 24 h': '216',
        'Samples at 48 kHz, an hour': '17280',
        'Hours until one frame': '0.111',
      },
      'Seen on both devices': {
        'Second ahead of first before, in frames': '0',
        'Second ahead of first after, in frames': '9',
        'Gained by the second, in frames': '9',
        'Watched for': '10:00:00.000000',
        'Second against first, in ppm': '10',
        'Good to, at worst, in ppm either way': '2.222',
        'Standard uncertainty, in ppm': '0.642',
        'To know it to 1 ppm at worst, watch for': '22:13:20.000000',
      },
      'Temperature: a guess': {
        'A watch crystal at 0 °C, in ppm': '−21.25',
        'Until a whole frame, with that in one of the two': '3 min',
        'What this leaves out': "everything but one crystal's curve",
      },
      'Classes of clock': {
        'Plain quartz oscillator (XO)': '±20 to ±100 ppm',
        'Watch crystal of 32.768 kHz, at 25 °C': '±20 ppm',
        'Temperature-compensated oscillator (TCXO), over its range of temperatures':
          '±0.5 to ±2.5 ppm',
        'The best TCXO': '±0.05 to ±0.1 ppm',
        'Oven-controlled oscillator (OCXO)': '±0.001 to ±0.1 ppm',
        'Ageing of a crystal, in a year': '±0.1 to ±5 ppm',
        'AES11 grade 1 reference': '±1 ppm',
        'AES11 grade 2 reference': '±10 ppm',
        'IEC 60958 level I': '±50 ppm',
        'IEC 60958 level II': '±1000 ppm',
        'Source of timecode that runs free': '±100 ppm',
      },
    },
  },
  // The pitch is 1200 × log2(1000/1001) cents (ISO 80000-8: an octave has 1200).
  {
    source: 'IEC 60461 clause 4.2.3: 1.001 costs 3.6 s an hour',
    fields: { part: 'speeds', shot: '24', played: '23.976', duration: '01:00:00:00' },
    tables: {
      Speed: {
        Exactly: '1000/1001',
        'Per cent': '99.9001',
        'Pitch of sound that is relabelled, in cents': '−1.730',
        'Seconds longer, each hour': '3.6',
      },
      Length: {
        Frames: '86400',
        'Real time when shot': '01:00:00.000000',
        'Real time when played': '01:00:03.600000',
        'Seconds longer': '3.6',
        'Length counted at 24': '01:00:00:00',
        'Length counted at 23.976, played': '01:00:00:00',
      },
      'Sound at 48 kHz': {
        'Sample rate to relabel to, in Hz': '47952.047952',
        'Nearest that a file can say, in Hz': '47952',
        'Sample rate to record at for 48 kHz, in Hz': '48048',
        'Samples by which sound left as it is slips, each hour shot': '172800',
      },
      Addresses: {
        'Digits of the addresses': 'stay what they are: both rates count alike',
        'Time reference of a relabelled file':
          'stays the same number of samples, with the new sample rate and frame rate beside it',
      },
    },
  },
  // The meanings of the flags: table 1.
  {
    source: 'SMPTE ST 12-1 clause 8.4.2 and table 1: four characters',
    fields: { part: 'user_bits', user_bits_are: 'characters', characters: 'SYNC' },
    tables: {
      'As they are sent': {
        'Eight digits': '53 59 4E 43',
        'Binary groups 1 to 8': '3 4 E 4 9 5 3 5',
        'Binary group flags BGF2, BGF1, BGF0': '001',
        'Bits 27, 43, 58, 59 where 24 or 30 are counted': 'p 1 0 0',
        'Bits 27, 43, 58, 59 where 25 are counted': '1 0 0 p',
      },
      'Every reading': {
        'As digits': '53 59 4E 43',
        'As a date typed DDMMYY': 'none',
        'As a date typed MMDDYY': 'none',
        'As a date typed YYMMDD': 'none',
        'As four characters': 'SYNC',
        'As ST 309 date and zone': 'none',
      },
      'What the flags can say': {
        'BGF2, BGF1, BGF0 = 000': 'free use, no fixed meaning',
        'BGF2, BGF1, BGF0 = 001, as here': 'four characters',
        'BGF2, BGF1, BGF0 = 010': 'free use, no fixed meaning; the address is clock time',
        'BGF2, BGF1, BGF0 = 011': 'a combination that is not to be sent',
        'BGF2, BGF1, BGF0 = 100': 'date and time zone (ST 309)',
        'BGF2, BGF1, BGF0 = 101': 'a page and line multiplex (ST 262)',
        'BGF2, BGF1, BGF0 = 110': 'date and time zone (ST 309); the address is clock time',
        'BGF2, BGF1, BGF0 = 111': 'a page and line multiplex (ST 262); the address is clock time',
      },
    },
  },
  // The layout as SMPTE ST 2059-1 clause 9.3 and a metadata library's source have it.
  {
    source: 'SMPTE ST 309: a date and zone',
    fields: {
      part: 'user_bits',
      user_bits_are: 'date-and-zone',
      date: '2026-10-10',
      zone: '+02:00',
    },
    tables: {
      'As they are sent': {
        'Eight digits': '24 26 10 10',
        'Binary groups 1 to 8': '0 1 0 1 6 2 4 2',
        'Binary group flags BGF2, BGF1, BGF0': '100',
        'Bits 27, 43, 58, 59 where 24 or 30 are counted': 'p 0 0 1',
        'Bits 27, 43, 58, 59 where 25 are counted': '0 1 0 p',
      },
      'Every reading': {
        'As digits': '24 26 10 10',
        'As a date typed DDMMYY': 'none',
        'As a date typed MMDDYY': 'none',
        'As a date typed YYMMDD': 'none',
        'As four characters': 'none',
        'As ST 309 date and zone': '2026-10-10, +02:00 from UTC',
        'ST 309 zone code': '24',
        'ST 309 flag for summer time': '0',
      },
      'What the flags can say': {
        'BGF2, BGF1, BGF0 = 000': 'free use, no fixed meaning',
        'BGF2, BGF1, BGF0 = 001': 'four characters',
        'BGF2, BGF1, BGF0 = 010': 'free use, no fixed meaning; the address is clock time',
        'BGF2, BGF1, BGF0 = 011': 'a combination that is not to be sent',
        'BGF2, BGF1, BGF0 = 100, as here': 'date and time zone (ST 309)',
        'BGF2, BGF1, BGF0 = 101': 'a page and line multiplex (ST 262)',
        'BGF2, BGF1, BGF0 = 110': 'date and time zone (ST 309); the address is clock time',
        'BGF2, BGF1, BGF0 = 111': 'a page and line multiplex (ST 262); the address is clock time',
      },
    },
  },
  // Three single frames, each across a roll-over: frames 1799, 17981 and 107891.
  {
    source: 'SMPTE ST 2059-1 clause 9.3.3.4: roll-overs',
    fields: {
      part: 'rows',
      rate: '29.97',
      counting: 'drop',
      text: [
        'Ferry\t00:00:59;29\t00:01:00;02',
        'Deck\t00:09:59;29\t00:10:00;00',
        'Quay\t00:59:59;29\t01:00:00;00',
        'Bad\t00:01:00;00\t00:02:00;02',
      ].join('\n'),
    },
    tables: {
      Total: {
        Total: '00:00:00;03',
        Frames: '3',
        'Real time': '00:00:00.100100',
      },
      Rows: {
        'Rows added': '3',
        'Bad rows, left out': '1',
        'Other lines': '0',
      },
      'Between the rows': {
        Gaps: '00:58:59;26',
        Overlaps: '00:00:00;00',
        'Steps back': '00:00:00;00',
        Covered: '00:00:00;03',
        'From the first in to the last out': '00:58:59;29',
      },
    },
  },
];

/** More published values, some to a sheet. */
export const SOME: readonly Sheet[] = [
  {
    source: 'EBU Tech 3285 and IEC 60461 A.3 and tables 2 to 5',
    fields: { part: 'address', text: '12:34:56:12', rate: '23.976' },
    tables: {
      'This moment': { 'Frames since midnight': '1087116' },
      'Samples since midnight': { 'At 48 kHz': '2176406232' },
      'The codeword, with user bits 0': { '10 bytes': '02 01 06 05 04 03 02 01 FC BF' },
      // 1087116 = 67944 × 16 + 12.
      'Film, a picture for every frame': {
        '35 mm, 4 perforations, feet+frames': '67944+12',
        '16 mm, feet+frames': '27177+36',
      },
    },
  },
  {
    source: 'EBU Tech 3285: 23:59:59:24 at 96 kHz needs the high word',
    fields: { part: 'address', text: '23:59:59:24', rate: '25', sample_rate: '96000' },
    tables: {
      'Time reference of a bext chunk at 96 kHz': { 'High word': '1', 'Low word': '3999428864' },
      'The codeword, with user bits 0': { '10 bytes': '04 02 09 05 09 05 03 02 FC BF' },
    },
  },
  {
    source: 'EBU Tech 3285, backwards: a stamp made at 23.976, read as 24',
    fields: { part: 'address', kind: 'time-reference', text: '172972800', rate: '24' },
    tables: { 'This moment': { 'Time address': '01:00:03:14' } },
  },
  {
    source: 'SMPTE ST 2059-1 clause 9.3.3.4: 107892 frames are 172799827.2 samples',
    fields: {
      part: 'address',
      kind: 'sample-position',
      text: '172799827',
      rate: '29.97',
      counting: 'drop',
    },
    tables: {
      'This moment': { 'Time address': '01:00:00;00', 'The frame begins at': '00:59:59.996400' },
    },
  },
  {
    source: 'SMPTE ST 309: a Modified Julian Date, 61323',
    fields: { part: 'user_bits', user_bits_are: 'julian-date-and-zone', date: '2026-10-10' },
    tables: { 'As they are sent': { 'Eight digits': '80 06 13 23' } },
  },
];
