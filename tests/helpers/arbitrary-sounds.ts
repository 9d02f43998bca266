/** Any sound that a scan might have, and worse: hums, thumps, clicks, squares, noise, long silences. */
import fc from 'fast-check';
import { seededRandom } from '../../src/signal/random.js';
import { SAMPLE_RATE_HZ } from '../../src/signal/sound.js';

/** A part of a sound: something at a pitch that is heard now and then. */
interface Part {
  readonly kind: 'sine' | 'square' | 'noise' | 'click';
  readonly hertz: number;
  /** Pa. */
  readonly amplitude: number;
  readonly periodSeconds: number;
  /** Share of its period for which it is heard. */
  readonly duty: number;
  /** When it is heard for the first time. */
  readonly fromSeconds: number;
}

const part: fc.Arbitrary<Part> = fc.record({
  kind: fc.constantFrom('sine', 'square', 'noise', 'click'),
  hertz: fc.double({ min: 30, max: 12_000, noNaN: true }),
  amplitude: fc.double({ min: -4, max: 1.5, noNaN: true }).map(lg => 10 ** lg),
  periodSeconds: fc.double({ min: 0.02, max: 5, noNaN: true }),
  duty: fc.double({ min: 0.001, max: 1, noNaN: true }),
  fromSeconds: fc.oneof(fc.constant(0), fc.double({ min: 0, max: 5.5, noNaN: true })),
});

/** Samples of 8 to 16 s, in Pa, never silent. */
export const arbitrarySound: fc.Arbitrary<Float64Array> = fc
  .tuple(fc.array(part, { minLength: 1, maxLength: 3 }), fc.integer({ min: 8, max: 16 }))
  .map(([parts, seconds]) => {
    const samples = new Float64Array(seconds * SAMPLE_RATE_HZ);
    const random = seededRandom(JSON.stringify(parts));
    // A scanner is never silent: its background, far below.
    for (let i = 0; i < samples.length; i++) samples[i] = 1e-5 * random.normal();
    for (const one of parts) addPart(samples, one, () => random.normal());
    return samples;
  });

function addPart(
  samples: Float64Array,
  { kind, hertz, amplitude, periodSeconds, duty, fromSeconds }: Part,
  noise: () => number,
): void {
  for (let i = Math.round(fromSeconds * SAMPLE_RATE_HZ); i < samples.length; i++) {
    const t = i / SAMPLE_RATE_HZ;
    const phase = ((t - fromSeconds) / periodSeconds) % 1;
    if (phase > duty) continue;
    const wave = Math.sin(2 * Math.PI * hertz * t);
    if (kind === 'sine') samples[i]! += amplitude * wave;
    else if (kind === 'square') samples[i]! += amplitude * Math.sign(wave);
    else if (kind === 'noise') samples[i]! += amplitude * noise();
    else if (phase * periodSeconds < 1.5 / SAMPLE_RATE_HZ) samples[i]! += 10 * amplitude;
  }
}
