/** Headers of DICOM files in every encoding, damaged ones included. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { gzipSync } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import { type DicomHeader, readDicomHeader } from '../../../src/formats/dicom/read-header.js';
import { TAGS, type TagName } from '../../../src/formats/dicom/tags.js';
import {
  echoPlanarSlice,
  element,
  type Elements,
  type Syntax,
  writeDicom,
  writeElements,
} from '../../helpers/dicom-writer.js';

const SYNTAXES: readonly Syntax[] = ['explicit', 'implicit', 'big-endian', 'deflated'];

const VECTORS = path.join(import.meta.dirname, '../../vectors/pydicom');

function headerOf(bytes: Uint8Array, isWhole = true): DicomHeader {
  const read = readDicomHeader(bytes, isWhole);
  if (read.kind !== 'header') throw new Error(`no header: ${read.kind}`);
  return read.header;
}

/** Every value that was read, by name. */
function valuesOf({ values }: DicomHeader): Record<string, unknown> {
  const names = (Object.keys(TAGS) as TagName[]).filter(name => values.has(name));
  return Object.fromEntries(
    names.map(name => [
      name,
      values.numbers(name).length > 0 ? values.numbers(name) : values.texts(name),
    ]),
  );
}

const withNested = (nested: Elements): Elements =>
  [...echoPlanarSlice(), ...nested].sort((a, b) => (a.tag < b.tag ? -1 : 1));

describe('files of an independent writer', () => {
  test.each(SYNTAXES)('%s: a classic slice', syntax => {
    const header = headerOf(readFileSync(path.join(VECTORS, `classic-${syntax}.dcm`)));
    expect(header.isWhole).toBe(true);
    expect(valuesOf(header)).toMatchObject({
      Modality: ['MR'],
      Manufacturer: ['GE MEDICAL SYSTEMS'],
      RepetitionTime: [1500],
      EchoTime: [31.5],
      AcquisitionMatrix: [72, 0, 0, 72],
      ImagePositionPatient: [-100, -100, -20],
      GELocationsInAcquisition: [45],
      GEEffectiveEchoSpacing: [516],
      GEAssetRFactors: [0.5, 1],
      GEMultiband: ['3', '4', '19', '', '', '', ''],
    });
    expect(header.timeOfDaySeconds).toBeCloseTo(10 * 3600 + 11 * 60 + 12.25, 9);
  });

  test.each(SYNTAXES)('%s: an enhanced file, with every frame', syntax => {
    const header = headerOf(readFileSync(path.join(VECTORS, `enhanced-${syntax}.dcm`)));
    expect(header.isWhole).toBe(true);
    expect(valuesOf(header)).toMatchObject({
      RepetitionTime: [800],
      EffectiveEchoTime: [40],
      PixelBandwidth: [2000],
      InPlanePhaseEncodingDirection: ['COLUMN'],
      PixelSpacing: [3, 3],
    });
    expect(header.frames).toHaveLength(8);
    expect(header.frames.map(({ values }) => values.number('InStackPositionNumber'))).toEqual([
      ...[1, 2, 3, 4],
      ...[1, 2, 3, 4],
    ]);
    const start = header.frames[0]!.timeOfDaySeconds!;
    const times = header.frames.map(({ timeOfDaySeconds }) => timeOfDaySeconds! - start);
    for (const [i, expected] of [0, 0.4, 0, 0.4, 0.8, 1.2, 0.8, 1.2].entries()) {
      expect(times[i]).toBeCloseTo(expected, 6);
    }
  });

  test('all give the same values', () => {
    for (const kind of ['classic', 'enhanced']) {
      const [first, ...others] = SYNTAXES.map(syntax =>
        valuesOf(headerOf(readFileSync(path.join(VECTORS, `${kind}-${syntax}.dcm`)))),
      );
      for (const other of others) expect(other).toEqual(first);
    }
  });
});

describe('how a file is written', () => {
  const plain = valuesOf(headerOf(writeDicom(echoPlanarSlice(), 'explicit')));

  test.each(SYNTAXES)('%s, by the writer of these tests', syntax => {
    expect(valuesOf(headerOf(writeDicom(echoPlanarSlice(), syntax)))).toEqual(plain);
  });

  test.each(['explicit', 'implicit', 'big-endian'] as const)('%s, without preamble', syntax => {
    const bare = headerOf(writeElements(echoPlanarSlice(), syntax));
    expect(valuesOf(bare)).toEqual(plain);
  });

  test('in a gzip file, however long its pixels', () => {
    const long = echoPlanarSlice({ '7fe0,0010': new Uint8Array(5_000_000) });
    const packed = gzipSync(writeDicom(long, 'explicit'));
    expect(packed.length).toBeLessThan(10_000);
    expect(valuesOf(headerOf(packed))).toEqual(plain);
    // JPEG, RLE and so on: only the pixels differ (PS3.5, A.4).
  });

  test.each(['1.2.840.10008.1.2.4.50', '1.2.840.10008.1.2.4.90', '1.2.840.10008.1.2.5'])(
    'with compressed pixels, %s',
    uid => {
      const fragments = element(
        '7fe0,0010',
        'OB',
        [[], [element('0000,0000', 'UN', new Uint8Array(9))]],
        {
          isOpen: true,
        },
      );
      const elements = [...echoPlanarSlice().filter(({ tag }) => tag !== '7fe0,0010'), fragments];
      expect(valuesOf(headerOf(writeDicom(elements, 'explicit', uid)))).toEqual(plain);
    },
  );

  test('otherwise than its transfer syntax says: the elements count', () => {
    for (const [syntax, uid] of [
      ['implicit', '1.2.840.10008.1.2.1'],
      ['explicit', '1.2.840.10008.1.2'],
      ['big-endian', '1.2.840.10008.1.2.1'],
    ] as const) {
      expect(valuesOf(headerOf(writeDicom(echoPlanarSlice(), syntax, uid)))).toEqual(plain);
    }
  });

  test.each(['latin1', 'utf8', 'utf16le'] as const)(
    'with text in %s, declared as another',
    charset => {
      const name = Buffer.from('Ü–Größe 頭部', charset === 'latin1' ? 'utf8' : charset);
      const header = headerOf(
        writeDicom(
          echoPlanarSlice({ '0008,0005 CS': 'ISO_IR 100', '0008,103e': name }),
          'explicit',
        ),
      );
      expect(header.values.number('RepetitionTime')).toBe(2000);
      expect(header.values.text('SeriesDescription')).toMatch(/^[\x20-\x7e]*$/);
    },
  );
});

describe('sequences', () => {
  const inside = [element('0018,0080', 'DS', '777'), element('0018,0081', 'DS', '7')];

  test.each(SYNTAXES)(
    '%s: what is not on the list is passed, with lengths or delimiters',
    syntax => {
      for (const isOpen of [true, false]) {
        const nested = element('0008,1140', 'SQ', [inside, [], inside], { isOpen });
        const header = headerOf(writeDicom(withNested([nested]), syntax));
        expect(header.values.number('RepetitionTime')).toBe(2000);
        expect(header.isWhole).toBe(true);
      }
    },
  );

  test.each(SYNTAXES)('%s: ten levels deep, on the list and not', syntax => {
    for (const tag of ['0018,9112', '0040,a730']) {
      for (const isOpen of [true, false]) {
        let level: Elements = [element('0018,9241', 'US', [42])];
        for (let depth = 0; depth < 10; depth++) level = [element(tag, 'SQ', [level], { isOpen })];
        const header = headerOf(writeDicom(withNested(level), syntax));
        expect(header.isWhole).toBe(true);
        const expected = tag === '0018,9112' ? 42 : undefined;
        expect(header.values.number('GradientEchoTrainLength')).toBe(expected);
        expect(header.values.number('RepetitionTime')).toBe(2000);
      }
    }
  });

  test('private ones of unknown representation hold implicit elements (PS3.5, 6.2.2)', () => {
    const items = writeElements([element('0018,9069', 'FD', [1.5])], 'implicit');
    const item = Buffer.concat([Buffer.from([0xfe, 0xff, 0, 0xe0, items.length, 0, 0, 0]), items]);
    const header = headerOf(
      writeDicom(
        withNested([
          element('2005,0014', 'LO', 'Philips MR Imaging DD 005'),
          element('2005,140f', 'UN', item),
        ]),
        'explicit',
      ),
    );
    expect(header.values.number('ParallelReductionFactorInPlane')).toBe(1.5);
  });

  test('values of 64 bits are passed', () => {
    for (const vr of ['OV', 'SV', 'UV']) {
      const long = element('0008,0300', vr, new Uint8Array(16));
      expect(headerOf(writeDicom(withNested([long]), 'explicit')).values.text('Modality')).toBe(
        'MR',
      );
    }
  });
});

describe('private elements', () => {
  const PHILIPS = 'Philips Imaging DD 001';

  test.each(['10', '11', 'e1'])('are found in whichever block their maker has, %s', block => {
    const header = headerOf(
      writeDicom(
        withNested([
          element(`2001,00${block}`, 'LO', PHILIPS),
          element(`2001,${block}13`, 'SL', [57]),
        ]),
        'implicit',
      ),
    );
    expect(header.values.number('PhilipsEPIFactor')).toBe(57);
    expect(header.values.at('PhilipsEPIFactor')).toBe('(2001,xx13)');
  });

  test("are not taken for another maker's, nor without one", () => {
    for (const creator of [['LO', 'SOMEBODY ELSE'] as const, undefined]) {
      const nested = [element('2001,1013', 'SL', [57])];
      if (creator !== undefined) nested.unshift(element('2001,0010', ...creator));
      const header = headerOf(writeDicom(withNested(nested), 'explicit'));
      expect(header.values.has('PhilipsEPIFactor')).toBe(false);
    }
  });
});

describe('damage', () => {
  const whole = echoPlanarSlice();

  test.each(SYNTAXES)('%s: cut off at every length, the header ends there', syntax => {
    const elements = withNested([
      element('0008,1140', 'SQ', [[element('0008,1155', 'UI', '1.2')]], { isOpen: true }),
    ]);
    const bytes = writeDicom(elements, syntax);
    expect(bytes.length).toBeGreaterThan(500);
    let seen = 0;
    for (let length = 0; length <= bytes.length; length++) {
      const read = readDicomHeader(bytes.subarray(0, length), true);
      if (read.kind !== 'header') {
        expect(read.kind).toBe('not-dicom');
        expect(length).toBeLessThan(132);
        continue;
      }
      const count = Object.keys(valuesOf(read.header)).length;
      if (syntax !== 'deflated') expect(count).toBeGreaterThanOrEqual(seen);
      seen = count;
    }
    expect(seen).toBeGreaterThan(20);
  });

  test.each(SYNTAXES)('%s: when there is more of the file, more is asked for', syntax => {
    const bytes = writeDicom(whole, syntax);
    for (const length of [200, 400]) {
      expect(readDicomHeader(bytes.subarray(0, length), false).kind).toBe('more');
    }
    expect(readDicomHeader(bytes, false).kind).toBe('header');
  });

  test('but not of one that is no MR image', () => {
    const bytes = writeDicom(echoPlanarSlice({ '0008,0060': 'CT' }), 'explicit');
    expect(readDicomHeader(bytes.subarray(0, 450), false)).toMatchObject({ kind: 'header' });
  });

  test.each([0xfffffff0, 0xfffffffe, 0x7fffffff, 0x80000000])(
    'a length of %i ends the reading and takes no memory',
    length => {
      for (const syntax of ['implicit', 'explicit', 'big-endian'] as const) {
        for (const [tag, vr] of [
          ['0009,1010', 'OB'],
          ['0018,9112', 'SQ'],
          ['0019,1010', 'UN'],
        ] as const) {
          const before = process.memoryUsage().arrayBuffers;
          const header = headerOf(
            writeDicom(withNested([element(tag, vr, new Uint8Array(8), { length })]), syntax),
          );
          expect(header.values.text('Modality')).toBe('MR');
          expect(header.isWhole).toBe(false);
          // In bytes; the file has about one thousand.
          expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(1_000_000);
        }
      }
    },
  );

  test('an item or a value longer than what holds it ends the reading', () => {
    const item = Buffer.from([0xfe, 0xff, 0, 0xe0, 0xf0, 0xff, 0xff, 0xff]);
    const header = headerOf(writeDicom(withNested([element('0018,9112', 'SQ', item)]), 'explicit'));
    expect(header.isWhole).toBe(false);
    expect(header.values.text('Modality')).toBe('MR');
  });

  test('a damaged sequence that says how long it is is passed', () => {
    const header = headerOf(
      writeDicom(withNested([element('0018,9112', 'SQ', Buffer.alloc(24, 7))]), 'explicit'),
    );
    expect(header.isWhole).toBe(true);
    expect(header.values.number('SeriesNumber')).toBe(1);
  });

  test.each([
    ['explicit', [0x18, 0, 0x12, 0x91, 0x53, 0x51, 0, 0, 255, 255, 255, 255]],
    ['implicit', [0x18, 0, 0x12, 0x91, 255, 255, 255, 255]],
  ] as const)('%s: sequences in sequences without end are given up', (syntax, open) => {
    const level = Buffer.from([...open, 0xfe, 0xff, 0, 0xe0, 255, 255, 255, 255]);
    const nested = Buffer.concat(Array.from({ length: 100_000 }, () => level));
    const start = writeElements(
      whole.filter(({ tag }) => tag < '0018,9112'),
      syntax,
    );
    const header = headerOf(Buffer.concat([start, nested]));
    expect(header.isWhole).toBe(false);
    expect(header.values.number('RepetitionTime')).toBe(2000);
  });

  test('random changes never throw, and never take long', () => {
    const original = writeDicom(
      withNested([
        element('0018,9112', 'SQ', [[element('0018,0080', 'DS', '1')]], { isOpen: true }),
        element('5200,9230', 'SQ', [[element('0018,9114', 'SQ', [[]])], []]),
      ]),
      'explicit',
    );
    let seed = 1;
    const random = (below: number): number => {
      // Park and Miller's generator.
      seed = (seed * 48271) % 0x7fffffff;
      return seed % below;
    };
    const started = performance.now();
    for (let round = 0; round < 3000; round++) {
      const bytes = Uint8Array.from(original);
      for (let i = 0; i < 4; i++) bytes[132 + random(bytes.length - 132)] = random(256);
      expect(['header', 'not-dicom']).toContain(readDicomHeader(bytes, true).kind);
    }
    // 3000 headers of 1 kB take 0.3 s; in ms, with room for slow machines.
    expect(performance.now() - started).toBeLessThan(20_000);
  });

  test('a deflated file that would fill the memory is read no further than its header', () => {
    const bomb = writeDicom(
      echoPlanarSlice({ '7fe0,0010': new Uint8Array(100_000_000) }),
      'deflated',
    );
    const before = process.memoryUsage().arrayBuffers;
    expect(headerOf(bomb).values.number('RepetitionTime')).toBe(2000);
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(50_000_000);
  });

  test('a deflated file with other bytes behind its meta information gives an empty header', () => {
    const file = writeDicom([], 'deflated');
    const head = file.subarray(0, file.length - 2);
    for (const rest of [Buffer.alloc(0), Buffer.alloc(300, 0xff)]) {
      const header = headerOf(Buffer.concat([head, rest]));
      expect(header.isWhole).toBe(false);
      expect(header.values.has('Modality')).toBe(false);
    }
  });
});

describe('files that are not DICOM', () => {
  test.each([
    ['nothing', Buffer.alloc(0)],
    ['zeros', Buffer.alloc(5000)],
    ['text', Buffer.from('participant_id\tage\nsub-01\t9\n'.repeat(20))],
    ['JSON', Buffer.from('{"RepetitionTime": 2}')],
    ['a PNG', Buffer.from('\x89PNG\r\n\x1a\n\0\0\0\rIHDR', 'latin1')],
    ['gzip of text', gzipSync(Buffer.from('x'.repeat(1000)))],
    ['broken gzip', Buffer.from([0x1f, 0x8b, 8, 0, 1, 2, 3, 4, 5, 6, 7])],
    ['an old group without elements', Buffer.from([8, 0, 0, 0, 255, 255, 255, 255, 0])],
  ])('%s', (_, bytes) => {
    expect(readDicomHeader(bytes, true)).toEqual({ kind: 'not-dicom' });
  });
});

describe('codes', () => {
  const code = (more: Parameters<typeof echoPlanarSlice>[0], series = '1', instance = '1') => {
    const header = headerOf(writeDicom(echoPlanarSlice(more, series, instance), 'explicit'));
    return [header.series, header.instance];
  };

  test('tell series and images apart, and do not hold their identifiers', () => {
    const [series, instance] = code({});
    expect(code({}, '1', '2')).toEqual([series, expect.not.stringMatching(instance!) as string]);
    expect(code({}, '2', '1')[0]).not.toBe(series);
    expect(series).toMatch(/^[0-9a-f]{16}$/);
  });

  test('come from number and name of the series where it has no identifier', () => {
    const without = { '0020,000e': '' };
    expect(code({ ...without })[0]).toBe(code({ ...without })[0]);
    expect(code({ ...without }, '2')[0]).not.toBe(code({ ...without })[0]);
  });
});
