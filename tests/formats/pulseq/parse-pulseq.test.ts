/** Pulseq text: what is read from each version, and what is refused with which words. */
import { describe, expect, test } from 'vitest';
import { parsePulseq } from '../../../src/formats/pulseq/parse-pulseq.js';
import type { PulseqSequence } from '../../../src/formats/pulseq/sequence.js';
import { refusal } from '../../helpers/refusal.js';
import {
  TINY_1_2_1,
  TINY_1_3_1,
  TINY_1_4_2,
  TINY_1_5_1,
  TINY_SEQUENCES,
  withExtensions,
} from '../../helpers/tiny-sequences.js';

const parse = (text: string): PulseqSequence => parsePulseq(text, 'tiny.seq');

/** Replaces what must be there. */
function change(text: string, from: string | RegExp, to: string): string {
  const changed = text.replace(from, to);
  if (changed === text) throw new Error(`there is no ${String(from)}`);
  return changed;
}

const totalSeconds = ({ blocks }: PulseqSequence): number =>
  blocks.durations.reduce((sum, duration) => sum + duration, 0) * blocks.unitSeconds;

describe.each(TINY_SEQUENCES)('version %s', (version, text) => {
  const sequence = parse(text);

  test('has its blocks, in the order and of the lengths written', () => {
    expect(sequence.version.text).toBe(version);
    expect(sequence.blocks.count).toBe(6);
    const lengthsUs = Array.from(sequence.blocks.durations, d =>
      Math.round(d * sequence.blocks.unitSeconds * 1e6),
    );
    expect(lengthsUs).toEqual([1200, 600, 400, 1200, 600, 400]);
    expect(totalSeconds(sequence)).toBeCloseTo(0.0044, 12);
    expect(Array.from(sequence.blocks.x)).toEqual([0, 3, 0, 0, 3, 0]);
    expect(Array.from(sequence.blocks.y)).toEqual([0, 2, 0, 0, 2, 0]);
    expect(Array.from(sequence.blocks.z)).toEqual([1, 0, 0, 1, 0, 0]);
  });

  test('has its events with their times', () => {
    const rf = sequence.rf.get(1)!;
    expect(rf.startSeconds).toBeCloseTo(100e-6, 12);
    expect(rf.endSeconds).toBeCloseTo(1100e-6, 12);
    const adc = sequence.adc.get(1)!;
    expect(adc.startSeconds).toBeCloseTo(20e-6, 12);
    expect(adc.endSeconds).toBeCloseTo(340e-6, 12);
    expect(sequence.gradients.get(2)).toEqual({
      kind: 'trapezoid',
      amplitudeHzPerM: -212_880,
      delaySeconds: 100 * 1e-6,
      riseSeconds: 50 * 1e-6,
      flatSeconds: 400 * 1e-6,
      fallSeconds: 50 * 1e-6,
    });
    expect(sequence.gradients.get(3)).toMatchObject({
      kind: 'shaped',
      amplitudeHzPerM: 851_520,
      times: 'centres',
      shape: { length: 8 },
      edgesHzPerM: version === '1.5.1' ? [0, 0] : undefined,
    });
  });
});

describe('oddities that are read', () => {
  test.each(['1post1', '9', '0'])('a revision of %s', revision => {
    const text = change(TINY_1_4_2, 'revision 2', `revision ${revision}`);
    expect(parse(text).version.text).toBe(`1.4.${revision}`);
  });

  test('comments in definitions, and a name as character codes', () => {
    const { definitions } = parse(TINY_1_2_1);
    expect([...definitions]).toEqual([['Name', '116 105 110 121']]);
  });

  test('line ends of two characters, and no line end at the end', () => {
    const text = TINY_1_5_1.trimEnd().replaceAll('\n', '\r\n');
    expect(parse(text).blocks).toEqual(parse(TINY_1_5_1).blocks);
  });

  test('blocks of no length', () => {
    const { blocks } = parse(change(TINY_1_5_1, '3 40 0 0 0 0 1 0', '3 0 0 0 0 0 0 0'));
    expect(blocks.durations[2]).toBe(0);
  });

  test('before 1.4 a trigger takes its time', () => {
    const text = change(
      change(TINY_1_3_1, /^3 1 0 0 0 0 1 0$/m, '3 1 0 0 0 0 1 1'),
      '[DELAYS]',
      '[EXTENSIONS]\n1 7 1 0\nextension TRIGGERS 7\n1 2 1 100 900\n[DELAYS]',
    );
    expect(totalSeconds(parse(text))).toBeCloseTo(0.0044 - 400e-6 + 1000e-6, 12);
  });

  test('a shape whose stored count is its length is compressed before 1.4, and plain from then on', () => {
    // Three differences without a repeat, or three samples.
    const rows = 'shape_id 3\nnum_samples 8\n0.1\n0.2\n-0.1\n0.15\n0.1\n-0.2\n0.05\n-0.3\n';
    const with8 = (text: string): string => text.replace(/shape_id 3[\s\S]*?(?=\n\[|$)/, rows);
    expect(parse(with8(TINY_1_3_1)).gradients.get(3)).toMatchObject({
      shape: { compressed: true },
    });
    expect(parse(with8(TINY_1_4_2)).gradients.get(3)).toMatchObject({
      shape: { compressed: false },
    });
  });
});

describe('extensions', () => {
  const lists = `1 2 5 2
2 4 1 0
extension ROTATIONS 2
5 0.965926 0 0 0.258819
extension LABELSET 4
1 3 SLC
`;

  test('rotations are found at the end of any list, and are of length 1 exactly', () => {
    const { blocks, rotations } = parse(withExtensions(lists));
    expect(Array.from(blocks.rotation)).toEqual([0, 5, 0, 0, 0, 0]);
    expect(Math.hypot(...rotations.get(5)!)).toBeCloseTo(1, 15);
    expect(rotations.get(5)![3] / rotations.get(5)![0]).toBeCloseTo(Math.tan(Math.PI / 12), 6);
  });

  test('soft delays, RF shims and labels are passed over', () => {
    const text = withExtensions(`1 1 1 2
2 2 1 3
3 3 1 4
4 4 1 0
extension DELAYS 1
1 0 -7840 2 TE
extension RF_SHIMS 2
1 2 1 0 1 1.5708
extension LABELINC 3
1 1 LIN
extension TRIGGERS 4
1 2 1 0 500
`);
    expect(parse(text).blocks).toEqual(parse(TINY_1_5_1).blocks);
  });

  test('unknown ones are passed over and named', () => {
    const text = withExtensions('1 9 1 0\nextension SOMETHING_NEW 9\n1 whatever it means\n');
    expect(parse(text).unknownExtensions).toEqual(['SOMETHING_NEW']);
  });

  test('required ones must be known', () => {
    const required = (names: string): string =>
      change(withExtensions(lists), 'TotalDuration', `RequiredExtensions ${names}\nTotalDuration`);
    expect(parse(required('ROTATIONS LABELSET')).blocks.count).toBe(6);
    const { problems } = refusal(() => parse(required('ROTATIONS SOMETHING_NEW')));
    expect(problems).toHaveLength(1);
    expect(problems[0]!.found).toContain('SOMETHING_NEW');
  });
});

/** What was done to a sequence, the text, the place and what was found. */
const REFUSED: readonly (readonly [what: string, text: string, where: string, found: string])[] = [
  ['nothing', '', 'tiny.seq:1 [VERSION]', 'no section [VERSION]'],
  ['some other text', 'hello\nworld\n', 'tiny.seq:1 [VERSION]', 'no section [VERSION]'],
  ['the binary form', '\u0001pulseq\u0002\0\0', 'tiny.seq:1', 'a Pulseq file in binary form'],
  [
    'no version',
    change(TINY_1_5_1, '[VERSION]\nmajor 1\nminor 5\nrevision 1\n', ''),
    'tiny.seq:1 [VERSION]',
    'no section [VERSION]',
  ],
  [
    'version 1.1.0',
    change(TINY_1_2_1, 'minor 2', 'minor 1'),
    'tiny.seq:2 [VERSION]',
    'Pulseq 1.1.1',
  ],
  [
    'version 1.6.0',
    change(TINY_1_5_1, 'minor 5', 'minor 6'),
    'tiny.seq:1 [VERSION]',
    'Pulseq 1.6.1',
  ],
  ['version 2', change(TINY_1_5_1, 'major 1', 'major 2'), 'tiny.seq:1 [VERSION]', 'Pulseq 2.5.1'],
  ['half a version', change(TINY_1_5_1, 'minor 5\n', ''), 'tiny.seq:1 [VERSION]', 'no minor'],
  [
    'an unknown section',
    `${TINY_1_5_1}\n[MUSIC]\n`,
    `tiny.seq:${TINY_1_5_1.split('\n').length + 1}`,
    'an unknown section, "[MUSIC]"',
  ],
  ['a section twice', `${TINY_1_5_1}[TRAP]\n`, 'tiny.seq:59 [TRAP]', 'a second section [TRAP]'],
  [
    'no gradient raster',
    change(TINY_1_4_2, 'GradientRasterTime 1e-05\n', ''),
    'tiny.seq:6 [DEFINITIONS]',
    'no GradientRasterTime',
  ],
  [
    'a gradient raster of a nanosecond',
    change(TINY_1_4_2, 'GradientRasterTime 1e-05', 'GradientRasterTime 1e-09'),
    'tiny.seq:9 [DEFINITIONS]',
    'GradientRasterTime is "1e-09"',
  ],
  [
    'no blocks',
    change(TINY_1_5_1, /\[BLOCKS\]\n(\d.*\n)*/, ''),
    'tiny.seq:1 [BLOCKS]',
    'no section',
  ],
  [
    'an empty list of blocks',
    change(TINY_1_5_1, /(?<=\[BLOCKS\]\n)(\d.*\n)*/, ''),
    'tiny.seq:13',
    'no block',
  ],
  [
    'blocks that all last no time',
    change(TINY_1_5_1, /(?<=\[BLOCKS\]\n)(\d.*\n)*/, '1 0 0 0 0 0 0 0\n'),
    'tiny.seq:13 [BLOCKS]',
    'blocks that last no time',
  ],
  [
    'a block with a column missing',
    change(TINY_1_5_1, '2 60 0 3 2 0 0 0', '2 60 0 3 2 0 0'),
    'tiny.seq:15 [BLOCKS]',
    '7 numbers',
  ],
  [
    'a block with a column too many',
    change(TINY_1_5_1, '2 60 0 3 2 0 0 0', '2 60 0 3 2 0 0 0 4'),
    'tiny.seq:15 [BLOCKS]',
    'more than 8 numbers: "4"',
  ],
  [
    'a word for a number',
    change(TINY_1_5_1, '2 60 0 3 2 0 0 0', '2 60 0 x 2 0 0 0'),
    'tiny.seq:15 [BLOCKS]',
    'gx is "x"',
  ],
  [
    'half a number for a reference',
    change(TINY_1_5_1, '2 60 0 3 2 0 0 0', '2 60 0 0.5 2 0 0 0'),
    'tiny.seq:15 [BLOCKS]',
    'gx is 0.5',
  ],
  [
    'a negative length',
    change(TINY_1_5_1, '2 60 0 3 2 0 0 0', '2 -60 0 3 2 0 0 0'),
    'tiny.seq:15 [BLOCKS]',
    'duration is -60',
  ],
  ...(
    [
      ['rf', '7 3 2 0 0 0'],
      ['gx', '0 7 2 0 0 0'],
      ['gy', '0 3 7 0 0 0'],
      ['gz', '0 3 2 7 0 0'],
      ['adc', '0 3 2 0 7 0'],
      ['ext', '0 3 2 0 0 7'],
    ] as const
  ).map(
    ([column, row]) =>
      [
        `${column} that does not exist`,
        change(TINY_1_5_1, '2 60 0 3 2 0 0 0', `2 60 ${row}`),
        'tiny.seq:15 [BLOCKS]',
        `${column} is 7, which does not exist`,
      ] as const,
  ),
  [
    'a delay that does not exist',
    change(TINY_1_2_1, '3 1 0 0 0 0 1', '3 9 0 0 0 0 1'),
    'tiny.seq:14 [BLOCKS]',
    'delay is 9, which does not exist',
  ],
  [
    'an event longer than its block',
    change(TINY_1_5_1, '2 60 0 3 2 0 0 0', '2 59 0 3 2 0 0 0'),
    'tiny.seq:15 [BLOCKS]',
    "an event that ends 600 us after the block's start",
  ],
  [
    'a sequence of hours',
    change(TINY_1_5_1, '3 40 0 0 0 0 1 0', '3 4000000000 0 0 0 0 1 0'),
    'tiny.seq:16 [BLOCKS]',
    'a sequence of more than 3600 s up to here',
  ],
  [
    'an event twice',
    change(TINY_1_5_1, '2 -212880', '1 -212880'),
    'tiny.seq:29 [TRAP]',
    'a second event 1',
  ],
  [
    'one number for a trapezoid and a shaped gradient',
    change(TINY_1_5_1, '2 -212880', '3 -212880'),
    'tiny.seq:29 [TRAP]',
    'a second event 3',
  ],
  [
    'a gradient of 100 T/m',
    change(TINY_1_5_1, '1 425760', '1 4257600000'),
    'tiny.seq:28 [TRAP]',
    'amplitude is 4257600000 Hz/m',
  ],
  [
    'a shape that does not exist',
    change(TINY_1_5_1, '3 851520 0 0 3 0 0', '3 851520 0 0 8 0 0'),
    'tiny.seq:25 [GRADIENTS]',
    'shape 8, which does not exist',
  ],
  [
    'a time shape that does not exist',
    change(TINY_1_5_1, '3 851520 0 0 3 0 0', '3 851520 0 0 3 8 0'),
    'tiny.seq:25 [GRADIENTS]',
    'shape 8, which does not exist',
  ],
  [
    'a time shape of another length',
    change(TINY_1_5_1, '3 851520 0 0 3 0 0', '3 851520 0 0 3 1 0'),
    'tiny.seq:25 [GRADIENTS]',
    'shape 3 with 8 samples, time shape 1 with 1000',
  ],
  [
    'times that fall',
    change(TINY_1_5_1, '3 851520 0 0 3 0 0', '3 851520 0 0 3 3 0'),
    'tiny.seq:25 [GRADIENTS]',
    'time shape 3, which does not rise from point to point',
  ],
  [
    'an even number of half rasters',
    change(TINY_1_5_1, '3 851520 0 0 3 0 0', '3 851520 0 0 3 -1 0'),
    'tiny.seq:25 [GRADIENTS]',
    '8 samples every half raster',
  ],
  [
    'a pulse whose shape does not exist',
    change(TINY_1_5_1, '1 250 1 2', '1 250 9 2'),
    'tiny.seq:22 [RF]',
    'shape 9, which does not exist',
  ],
  [
    'a shape beyond 1',
    change(TINY_1_5_1, '0.875\n0.875', '0.875\n1.5'),
    'tiny.seq:25 [GRADIENTS]',
    'shape 3 reaches 1.5',
  ],
  [
    'fewer samples than claimed',
    change(TINY_1_5_1, '0.625\n0.375\n0.125\n', ''),
    'tiny.seq:49 shape 3',
    '5 numbers, two equal ones without the count of their repeats',
  ],
  [
    'a thousand million samples claimed',
    change(TINY_1_5_1, 'num_samples 8', 'num_samples 1000000000'),
    'tiny.seq:49 shape 3',
    '8 numbers, two equal ones without the count of their repeats',
  ],
  [
    'a run without its count',
    change(TINY_1_5_1, '0\n0\n998', '0\n0'),
    'tiny.seq:43 shape 2',
    'two equal ones without the count of their repeats',
  ],
  [
    'half a repeat',
    change(TINY_1_5_1, '0\n0\n998', '0\n0\n997.5'),
    'tiny.seq:43 shape 2',
    'two equal ones without the count of their repeats',
  ],
  [
    'a shape twice',
    change(TINY_1_5_1, 'shape_id 2', 'shape_id 1'),
    'tiny.seq:43 [SHAPES]',
    'a second shape 1',
  ],
  [
    'samples behind an empty line',
    change(TINY_1_5_1, '0.875\n0.875', '0.875\n\n0.875'),
    'tiny.seq:49 shape 3',
    'samples',
  ],
  [
    'a list of extensions in a circle',
    withExtensions('1 1 1 2\n2 1 1 1\nextension LABELSET 1\n1 1 SLC\n'),
    'tiny.seq:',
    'a list that comes back to its entry 1',
  ],
  [
    'a list that leads nowhere',
    withExtensions('1 1 1 2\nextension LABELSET 1\n1 1 SLC\n'),
    'tiny.seq:35 [EXTENSIONS]',
    'next is 2, an entry that does not exist',
  ],
  [
    'an extension that is not specified',
    withExtensions('1 6 1 0\nextension LABELSET 1\n1 1 SLC\n'),
    'tiny.seq:35 [EXTENSIONS]',
    'type 6, which no extension has',
  ],
  [
    'a row that an extension does not have',
    withExtensions('1 1 4 0\nextension LABELSET 1\n1 1 SLC\n'),
    'tiny.seq:35 [EXTENSIONS]',
    'ref 4, which extension LABELSET does not have',
  ],
  [
    'two rotations of one block',
    withExtensions('1 1 1 2\n2 1 1 0\nextension ROTATIONS 1\n1 1 0 0 0\n'),
    'tiny.seq:35 [EXTENSIONS]',
    'two rotations in one list',
  ],
  [
    'a rotation that also stretches',
    withExtensions('1 1 1 0\nextension ROTATIONS 1\n1 2 0 0 0\n'),
    'tiny.seq:37 extension ROTATIONS 1',
    'a quaternion of length 2',
  ],
];

describe('refusals', () => {
  test.each(REFUSED)('%s', (_, text, where, found) => {
    const error = refusal(() => parse(text));
    expect(error.code).toBe('BAD_PROTOCOL');
    const [problem] = error.problems;
    expect(problem!.where.startsWith(where)).toBe(true);
    expect(problem!.where).toMatch(/^tiny\.seq:\d+/);
    expect(problem!.found).toContain(found);
    expect(problem!.allowed).not.toBe('');
    expect(problem!.fix).toMatch(/\.$/);
  });

  test('several problems are listed together, but never more than ten', () => {
    const two = change(change(TINY_1_5_1, '2 60 0 3', '2 60 0 7'), '3 40 0 0', '3 40 0 9');
    expect(refusal(() => parse(two)).problems).toHaveLength(2);
    const many = change(TINY_1_5_1, '6 40 0 0 0 0 1 0\n', '6 40 x\n'.repeat(500));
    expect(refusal(() => parse(many)).problems).toHaveLength(10);
  });

  test('what is shown of a file is short and cannot steer a terminal', () => {
    const text = change(TINY_1_5_1, '2 60 0 3', `2 60 0 \u001b[31m${'x'.repeat(500)}`);
    const [problem] = refusal(() => parse(text)).problems;
    expect(problem!.found).not.toContain('\u001b');
    expect(problem!.found.length).toBeLessThan(80);
  });

  test.each(TINY_SEQUENCES)('version %s cut short anywhere in its events is refused', (_, text) => {
    // From the first block to before the last sample: all later cuts leave a whole number there.
    const from = text.indexOf('[BLOCKS]') + 9;
    const to = !text.includes('[SIGNATURE]') ? text.trimEnd().length : text.indexOf('[SIGN') - 2;
    for (let length = from; length < to - 6; length += 7) {
      expect(() => parse(text.slice(0, length))).toThrow(
        expect.objectContaining({ name: 'UserError' }),
      );
    }
  });
});

test('a thousand million samples that are there as a run are refused by their length', () => {
  const text = change(TINY_1_5_1, /0\.125\n0\.375[\s\S]*$/, '0\n0\n999999998\n');
  const run = change(text, 'num_samples 8', 'num_samples 1000000000');
  expect(refusal(() => parse(run)).problems[0]!.found).toMatch(/^an event that ends/);
});
