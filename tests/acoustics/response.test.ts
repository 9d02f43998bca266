/** Response models: where they peak, that they are causal, that the field scales them; measured ones against their own numbers. */
import { describe, expect, test } from 'vitest';
import { impulseResponse, magnitudeResponse } from '../../src/acoustics/measured-response.js';
import { parseResponseTable } from '../../src/acoustics/response-table.js';
import { AXES } from '../../src/gradients/timeline.js';
import { signalOfSpectrum } from '../../src/signal/fft.js';
import { refusal } from '../helpers/refusal.js';
import { library } from '../helpers/study.js';

const SIZE = 2 ** 16;
const RATE_HZ = 44_100;
const binOf = (hertz: number): number => Math.round((hertz * SIZE) / RATE_HZ);

const magnitude = (spectrum: Float64Array, hertz: number): number =>
  Math.hypot(spectrum[2 * binOf(hertz)]!, spectrum[2 * binOf(hertz) + 1]!);

describe.each([...library.responses.values()])('$name', response => {
  const spectra = response.spectra(3, SIZE, RATE_HZ);

  test('says that it is generic', () => {
    expect(response.measured).toBe(false);
    expect(response.note).toMatch(/^Generic, not measured/);
  });

  test.each(AXES)(
    '%s is causal: under 10 millionths of its energy (the ring of a cut at half the sample rate) lie before time zero',
    axis => {
      const impulse = signalOfSpectrum(spectra[axis]);
      const energy = (from: number, to: number): number =>
        impulse.subarray(from, to).reduce((sum, x) => sum + x * x, 0);
      expect(energy(SIZE / 2, SIZE) / energy(0, SIZE)).toBeLessThan(1e-5);
    },
  );

  test.each(AXES)(
    '%s has its broad maximum between 0.5 and 2.5 kHz, 10 dB and more above 100 Hz and 8 kHz',
    axis => {
      let loudest = 100;
      for (let hertz = 100; hertz < 8000; hertz += 5) {
        if (magnitude(spectra[axis], hertz) > magnitude(spectra[axis], loudest)) loudest = hertz;
      }
      expect(loudest).toBeGreaterThan(500);
      expect(loudest).toBeLessThan(2500);
      for (const hertz of [100, 8000]) {
        const ratio = magnitude(spectra[axis], loudest) / magnitude(spectra[axis], hertz);
        expect(20 * Math.log10(ratio)).toBeGreaterThan(10);
      }
    },
  );

  test('nothing comes through at 0 Hz', () => {
    for (const axis of AXES) expect(Math.abs(spectra[axis][0]!)).toBe(0);
  });

  test('is proportional to the field: 1.5 T to 3 T is +6.02 dB', () => {
    const half = response.spectra(1.5, SIZE, RATE_HZ);
    const ratio = magnitude(spectra.x, 900) / magnitude(half.x, 900);
    expect(20 * Math.log10(ratio)).toBeCloseTo(6.0206, 4);
  });
});

/**
 * Cut-on frequencies of a rigid duct of 60 cm, c = 343 m/s: zeros of the derivative of Bessel functions
 * (Abramowitz and Stegun, table 9.5: 1.8412, 3.0542, 3.8317, 4.2012) x c / (2 pi 0.3 m).
 */
test.each([
  ['x', 1.8412],
  ['x', 4.2012],
  ['y', 1.8412],
  ['y', 4.2012],
  ['z', 3.8317],
] as const)('the bore mode of %s with zero %d is where a 60 cm duct has it', async (axis, zero) => {
  const { readFile } = await import('node:fs/promises');
  const { parseResponseModel } = await import('../../src/acoustics/model-files.js');
  const { ROOT } = await import('../helpers/study.js');
  const model = parseResponseModel(
    await readFile(`${ROOT}/sounds-synth/responses/generic-3t.yaml`, 'utf8'),
  );
  const hertz = (zero * 343) / (2 * Math.PI * 0.3);
  const nearest = Math.min(...model.axes[axis].modes.map(mode => Math.abs(mode.hertz / hertz - 1)));
  expect(nearest).toBeLessThan(0.005);
});

describe('a measured response', () => {
  const reference = library.responses.get('generic-3t')!;
  const table = `# our scanner, March
hertz,x,z
100,0.01,0.02
200,0.03,0.02
400,0.08,0.05
700,0.20,0.05
1000,0.30,0.20
1500,0.25,0.40
2500,0.10,0.30
5000,0.02,0.05
`;

  test('has its own magnitudes at the measured frequencies, and between them in a straight line in dB', () => {
    const spectra = magnitudeResponse(
      'own.csv',
      parseResponseTable(table, 'own.csv'),
      reference,
    ).spectra(3, SIZE, RATE_HZ);
    for (const [hertz, x] of [
      [200, 0.03],
      [1000, 0.3],
      [2500, 0.1],
    ] as const) {
      expect(20 * Math.log10(magnitude(spectra.x, hertz) / x)).toBeCloseTo(0, 1);
    }
    const middle = magnitude(spectra.x, Math.sqrt(1000 * 1500));
    expect(20 * Math.log10(middle / Math.sqrt(0.3 * 0.25))).toBeCloseTo(0, 1);
  });

  test('gives an axis that was not measured the mean of the others', () => {
    const spectra = magnitudeResponse(
      'own.csv',
      parseResponseTable(table, 'own.csv'),
      reference,
    ).spectra(3, SIZE, RATE_HZ);
    const expected = Math.sqrt((0.3 ** 2 + 0.2 ** 2) / 2);
    expect(20 * Math.log10(magnitude(spectra.y, 1000) / expected)).toBeCloseTo(0, 1);
  });

  test('is scaled to the loudness of the generic one where it is relative', () => {
    const relative = parseResponseTable(table.replace('x,z', 'x_relative,z_relative'), 'own.csv');
    const spectra = magnitudeResponse('own.csv', relative, reference).spectra(3, SIZE, RATE_HZ);
    const generic = reference.spectra(3, SIZE, RATE_HZ);
    const energy = (of: typeof spectra): number =>
      AXES.reduce((sum, axis) => {
        for (let hertz = 300; hertz <= 3000; hertz += 2) sum += magnitude(of[axis], hertz) ** 2;
        return sum;
      }, 0);
    expect(10 * Math.log10(energy(spectra) / energy(generic))).toBeCloseTo(0, 1);
  });

  test('from an impulse response is that impulse response', () => {
    const impulse = Float64Array.from(
      { length: 500 },
      (_, n) => Math.exp(-n / 40) * Math.cos(n / 5),
    );
    const spectra = impulseResponse('ir.wav', { x: impulse, y: impulse, z: impulse }).spectra(
      3,
      SIZE,
      RATE_HZ,
    );
    const back = signalOfSpectrum(spectra.y);
    for (let n = 0; n < 600; n++)
      expect(Math.abs(back[n]! - (impulse[n] ?? 0))).toBeLessThan(1e-12);
  });

  test.each([
    ['no header', '1,2\n3,4\n', 'a column named hertz'],
    ['no axis', table.replace('x,z', 'a,b'), 'x, y, z'],
    ['falling frequencies', table.replace('1000,', '600,'), 'each above the one before'],
    ['zeros', table.replace('0.20\n', '0\n'), 'above 0'],
    ['text', table.replace('0.03,', 'loud,'), 'a number'],
    ['a short row', table.replace('200,0.03,0.02', '200,0.03'), '3, as in the header'],
    ['nothing', '', 'a header line'],
  ])('is refused for %s, with the reason', (_, text, allowed) => {
    const { problems } = refusal(() => parseResponseTable(text, 'own.csv'));
    expect(JSON.stringify(problems)).toContain(allowed);
    expect(problems[0]!.where).toMatch(/^own\.csv/);
  });
});
