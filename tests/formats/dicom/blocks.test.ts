/** What lies within elements: protocol text, CSA header, times, comments. */
import { describe, expect, test } from 'vitest';
import { multibandOfComment, timeOfDaySeconds } from '../../../src/formats/dicom/codes.js';
import { readCsaHeader } from '../../../src/formats/dicom/csa-header.js';
import { readProtocolText } from '../../../src/formats/dicom/protocol-text.js';

const bytes = (text: string): Uint8Array => Buffer.from(text, 'latin1');

describe('protocol text', () => {
  test('old form: hexadecimal numbers, aligned, one block', () => {
    const settings = readProtocolText(
      bytes(
        `noise\0### ASCCONV BEGIN ###
tSequenceFileName                        = "%SiemensSeq%\\ep2d_diff"
alTR[0]                                  = 6000000
sKSpace.ucPhasePartialFourier            = 0x10
sDiffusion.alBValue[1]                   = 2000
sPat.lAccelFactPE                        = 3
tProtocolName                            = "of a person"
### ASCCONV END ###
alTR[0] = 1`,
      ),
    );
    expect(Object.fromEntries(settings)).toEqual({
      tSequenceFileName: '%SiemensSeq%\\ep2d_diff',
      'alTR[0]': 6000000,
      'sKSpace.ucPhasePartialFourier': 16,
      'sDiffusion.alBValue[1]': 2000,
      'sPat.lAccelFactPE': 3,
    });
  });

  test('new form: tabs, doubled quotes, line ends of two characters, comments', () => {
    const settings = readProtocolText(
      bytes(
        '### ASCCONV BEGIN object=MrProtDataImpl@MrProtocolData version=1 ###\r\n' +
          'tSequenceFileName\t = \t""%CustomerSeq%\\x""\r\n' +
          'sFastImaging.lEchoSpacing\t = \t590\r\n' +
          "sKSpace.dPhaseOversamplingForDialog\t = \t0.5\t# '0.5'\r\n" +
          'lTotalScanTimeSec\t = \t\r\n' +
          'xlTotalScanTimeSec\t = \t9\r\n' +
          'lRepetitions\t = \tmany\r\n',
      ),
    );
    expect(Object.fromEntries(settings)).toEqual({
      tSequenceFileName: '%CustomerSeq%\\x',
      'sFastImaging.lEchoSpacing': 590,
      'sKSpace.dPhaseOversamplingForDialog': 0.5,
    });
  });

  test('none in other bytes', () => {
    expect(readProtocolText(bytes('alTR[0] = 1')).size).toBe(0);
    expect(readProtocolText(new Uint8Array(0)).size).toBe(0);
  });
});

describe('CSA header', () => {
  const uint = (value: number): Buffer => {
    const buffer = Buffer.alloc(4);
    buffer.writeUInt32LE(value);
    return buffer;
  };
  const item = (text: string, length = text.length): Buffer =>
    Buffer.concat([
      ...[length, length, 77, length].map(uint),
      Buffer.from(text.padEnd(Math.ceil(text.length / 4) * 4, '\0'), 'latin1'),
    ]);
  const entry = (name: string, items: readonly Buffer[], count = items.length): Buffer =>
    Buffer.concat([
      Buffer.from(name.padEnd(64, '\0'), 'latin1'),
      ...[1, 0, 3, count, 77].map(uint),
      ...items,
    ]);
  const header = (entries: readonly Buffer[]): Buffer =>
    Buffer.concat([
      Buffer.from('SV10\x04\x03\x02\x01', 'latin1'),
      ...[entries.length, 77].map(uint),
      ...entries,
    ]);

  const whole = header([
    entry('PatientsName', [item('Secret^Person')]),
    entry('BandwidthPerPixelPhaseEncode', [item('37.665  '), item('')]),
    entry('MosaicRefAcqTimes', [item('0.0'), item('52.5'), item('105.0')]),
    entry('ImaPATModeText', [item('p2')]),
    entry('Empty', []),
  ]);

  test('gives the entries of interest and no others', () => {
    expect(Object.fromEntries(readCsaHeader(whole))).toEqual({
      BandwidthPerPixelPhaseEncode: ['37.665'],
      MosaicRefAcqTimes: ['0.0', '52.5', '105.0'],
      PATModeText: ['p2'],
    });
  });

  test('cut off at every length, gives what is whole', () => {
    let seen = 0;
    for (let length = 0; length <= whole.length; length++) {
      const { size } = readCsaHeader(whole.subarray(0, length));
      expect(size).toBeGreaterThanOrEqual(seen);
      seen = size;
    }
    expect(seen).toBe(3);
  });

  test.each([
    ['more items than there are', header([entry('ImaPATModeText', [item('p2')], 0xfffffff0)])],
    ['an item longer than all', header([entry('ImaPATModeText', [item('p2', 0xfffffff0)])])],
  ])('%s ends it', (_, damaged) => {
    expect(readCsaHeader(damaged).size).toBe(0);
  });

  test('other bytes give none', () => {
    expect(readCsaHeader(Buffer.from('SV11'.padEnd(200))).size).toBe(0);
  });
});

test.each([
  ['101112', 36672],
  ['101112.25', 36672.25],
  ['20270102101112.250000', 36672.25],
  ['20270102101112.25+0100', 36672.25],
  ['000000', 0],
  ['1011', undefined],
  ['', undefined],
  ['99:99:99', undefined],
  ['999999', undefined],
])('time of day %s is %s s', (text, expected) => {
  expect(timeOfDaySeconds(text)).toBe(expected);
});

test.each([
  ['Unaliased MB3/PE3/LB', 3],
  ['Unaliased MB12/PE4', 12],
  ['MBA/1', undefined],
  ['AMB3/1', undefined],
  ['nothing', undefined],
])('comment "%s" says multiband factor %s', (text, expected) => {
  expect(multibandOfComment(text)).toBe(expected);
});
