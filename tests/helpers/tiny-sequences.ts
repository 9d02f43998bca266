/**
 * One tiny sequence in four versions of the Pulseq format, written for these tests: a slice-selective
 * pulse, a read prephaser of eight samples beside a phase lobe, and a readout without gradients; twice.
 *
 * All four play the same gradients: z 10 mT/m for 1 ms on ramps of 0.1 ms, then x up to 17.5 mT/m and
 * y -5 mT/m; 4.4 ms together. (1 mT/m = 42 576 Hz/m.)
 */

/** Sections that no version changes. */
const TRAP = `[TRAP]
1 425760 100 1000 100 0
2 -212880 50 400 50 100
`;

/** Shapes of the pulse, and of the prephaser as differences with their repeats counted. */
const COMPRESSED = `[SHAPES]

shape_id 1
num_samples 1000
1
0
0
997

shape_id 2
num_samples 1000
0
0
998

shape_id 3
num_samples 8
0.125
0.25
0.25
1
0
-0.25
-0.25
1
`;

/** The same, the prephaser sample by sample. */
const PLAIN = COMPRESSED.replace(
  '0.125\n0.25\n0.25\n1\n0\n-0.25\n-0.25\n1\n',
  '0.125\n0.375\n0.625\n0.875\n0.875\n0.625\n0.375\n0.125\n',
);

const RASTERS = `[DEFINITIONS]
AdcRasterTime 1e-07
BlockDurationRaster 1e-05
GradientRasterTime 1e-05
RadiofrequencyRasterTime 1e-06
TotalDuration 0.0044
`;

export const TINY_1_2_1 = `# A tiny sequence
[VERSION]
major 1
minor 2
revision 1

[DEFINITIONS]
# A comment in between
Name 116 105 110 121

[BLOCKS]
1 0 1 0 0 1 0
2 0 0 3 2 0 0
3 1 0 0 0 0 1
4 0 1 0 0 1 0
5 0 0 3 2 0 0
6 1 0 0 0 0 1

[RF]
1 250 1 2 100 0 0

[GRADIENTS]
3 851520 3 0

${TRAP}
[ADC]
1 32 10000 20 0 0

[DELAYS]
1 400

${COMPRESSED}`;

export const TINY_1_3_1 = TINY_1_2_1.replace('minor 2', 'minor 3').replace(
  /^(\d( \d){6})$/gm,
  '$1 0',
);

/** Blocks with their lengths in units of 10 us. */
const BLOCKS_1_4 = `[BLOCKS]
1 120 1 0 0 1 0 0
2 60 0 3 2 0 0 0
3 40 0 0 0 0 1 0
4 120 1 0 0 1 0 0
5 60 0 3 2 0 0 0
6 40 0 0 0 0 1 0
`;

export const TINY_1_4_2 = `[VERSION]
major 1
minor 4
revision 2

${RASTERS}
${BLOCKS_1_4}
[RF]
1 250 1 2 0 100 0 0

[GRADIENTS]
3 851520 3 0 0

${TRAP}
[ADC]
1 32 10000 20 0 0

${PLAIN}
[SIGNATURE]
Type md5
Hash 00000000000000000000000000000000
`;

export const TINY_1_5_1 = `[VERSION]
major 1
minor 5
revision 1

${RASTERS}
${BLOCKS_1_4}
[RF]
1 250 1 2 0 500 100 0 0 0 0 e

[GRADIENTS]
3 851520 0 0 3 0 0

${TRAP}
[ADC]
1 32 10000 20 0 0 0 0 0

${PLAIN}`;

/** By version. */
export const TINY_SEQUENCES: readonly (readonly [version: string, text: string])[] = [
  ['1.2.1', TINY_1_2_1],
  ['1.3.1', TINY_1_3_1],
  ['1.4.2', TINY_1_4_2],
  ['1.5.1', TINY_1_5_1],
];

/** The 1.5.1 sequence with extensions: the rows of a block's list, then their specifications. */
export const withExtensions = (extensions: string, list = 1): string =>
  TINY_1_5_1.replace('2 60 0 3 2 0 0 0', `2 60 0 3 2 0 0 ${list}`).replace(
    '[SHAPES]',
    `[EXTENSIONS]\n${extensions}\n[SHAPES]`,
  );

/** A sequence that only sends and listens: 0.5 s without a gradient. */
export const SILENT = `[VERSION]
major 1
minor 4
revision 1

${RASTERS.replace('TotalDuration 0.0044\n', '')}
[BLOCKS]
1 120 1 0 0 0 0 0
2 49880 0 0 0 0 1 0

[RF]
1 250 1 2 0 100 0 0

[ADC]
1 1024 100000 20 0 0

${PLAIN}`;
