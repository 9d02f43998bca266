/** Pulseq text of gradient echoes, as long as wanted. */

export interface GeneratedSequence {
  readonly repetitions: number;
  /** Whether the phase encoding differs in every repetition. */
  readonly varied?: boolean;
  /** In s; 12 ms if not given. */
  readonly repetitionSeconds?: number;
  /** Readouts of 0.8 ms, alternating, after each excitation; 1 if not given. */
  readonly echoes?: number;
  /** Number of the phase encoding of every repetition, from 1, instead of `repetitions`. */
  readonly shots?: readonly number[];
}

/** Blocks per repetition: excitation, encoding, echoes, rewinding, pause. */
export function gradientEchoSequence({
  repetitions,
  varied = false,
  repetitionSeconds = 0.012,
  echoes = 1,
  shots = Array.from({ length: repetitions }, (_, i) => (varied ? i + 1 : 1)),
}: GeneratedSequence): string {
  const steps = shots.reduce((most, step) => Math.max(most, step), 1);
  const pause = Math.round(repetitionSeconds * 1e5) - 320 - 2 * 100 - 80 * echoes;
  const rows: string[] = [];
  const add = (row: string): void => void rows.push(`${rows.length + 1} ${row}`);
  for (const step of shots) {
    add('320 1 0 0 1 0 0');
    add(`100 0 4 ${9 + step} 2 0 0`);
    for (let echo = 0; echo < echoes; echo++) add(`80 0 ${echo % 2 === 0 ? 3 : 5} 0 0 1 0`);
    add(`100 0 4 ${9 + steps + step} 6 0 0`);
    add(`${pause} 0 0 0 0 0 0`);
  }
  // No amplitude twice: an irrational step.
  const encodings = Array.from({ length: steps }, (_, i) => {
    return (800_000 * Math.sin(i * Math.SQRT2 + 1)).toFixed(3);
  });
  return `# Gradient echoes, generated
[VERSION]
major 1
minor 5
revision 1

[DEFINITIONS]
GradientRasterTime 1e-05
RadiofrequencyRasterTime 1e-06
AdcRasterTime 1e-07
BlockDurationRaster 1e-05

[BLOCKS]
${rows.join('\n')}

[RF]
1 250 1 2 0 1500 100 0 0 0 0 e

[TRAP]
1 400000 100 3000 100 0
2 -700000 200 600 200 0
3 900000 100 600 100 0
4 -450000 100 800 100 0
5 -900000 100 600 100 0
6 1000000 250 500 250 0
${encodings.map((amplitude, i) => `${10 + i} ${amplitude} 150 700 150 0`).join('\n')}
${encodings.map((amplitude, i) => `${10 + steps + i} ${-Number(amplitude)} 150 700 150 0`).join('\n')}

[ADC]
1 256 2000 110 0 0 0 0 0

[SHAPES]

shape_id 1
num_samples 3000
1
0
0
2997

shape_id 2
num_samples 3000
0
0
2998
`;
}
