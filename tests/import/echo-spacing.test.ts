/**
 * True echo spacing against open sidecars: file names that state it, what an independent reader
 * computed, and, for one maker, its own DICOM element (0043,102c).
 */
import { describe, expect, test } from 'vitest';
import { findEchoSpacing } from '../../src/import/echo-spacing.js';
import { Sidecar } from '../../src/import/sidecar.js';
import { describeWithOpenData, openSidecars, sidecarFacts } from '../helpers/open-data.js';

/** What the file names promise is rounded to 0.01 ms; the makers' rounding of matrices makes less. */
const NAME_TOLERANCE = 0.002;

/** What an independent reader computed is printed with four digits. */
const READER_TOLERANCE = 0.005;

/** Sidecars print bandwidths and readout times with five digits. */
const ROUNDING_TOLERANCE = 0.002;

const spacing = (json: Record<string, unknown>) => findEchoSpacing(new Sidecar(json)).spacing;

/** A copy without some keys, as another converter or an anonymiser would leave it. */
const without = (json: Record<string, unknown>, ...keys: readonly string[]) =>
  Object.fromEntries(Object.entries(json).filter(([key]) => !keys.includes(key)));

const STATED = ['DerivedVendorReportedEchoSpacing', 'VendorReportedEchoSpacing'];

describeWithOpenData('sidecars whose names state 0.59 ms', () => {
  const files = openSidecars().filter(({ path }) => path.includes('ES0p59'));

  test('there are four: acceleration, oversampling, interpolation, partial Fourier', () => {
    expect(files).toHaveLength(4);
  });

  test.each([
    ['what the maker reports', []],
    ['the effective spacing', STATED],
    ['the readout time', [...STATED, 'EffectiveEchoSpacing']],
    ['the bandwidth', [...STATED, 'EffectiveEchoSpacing', 'TotalReadoutTime']],
  ])('give it within 0.2 % from %s', (_, missing) => {
    for (const { json } of files) {
      const found = spacing(without(json, ...missing));
      expect(Math.abs(found!.value / 0.00059 - 1)).toBeLessThan(NAME_TOLERANCE);
      expect(found!.origin).toBe(missing.length === 0 ? 'given' : 'derived');
    }
  });
});

describeWithOpenData('every echo-planar sidecar of known spacing', () => {
  const sidecars = new Map(openSidecars().map(({ path, json }) => [path, json]));
  const known = sidecarFacts().filter(({ trueES }) => trueES !== null);

  test('there are 21', () => {
    expect(known).toHaveLength(21);
  });

  test.each(known)('$file agrees within 0.5 % with an independent reader', ({ file, trueES }) => {
    const found = spacing(sidecars.get(file)!);
    expect(Math.abs(found!.value / trueES! - 1)).toBeLessThan(READER_TOLERANCE);
    expect(found!.why).not.toBe('');
  });

  test.each(known.filter(({ file }) => STATED.some(key => key in (sidecars.get(file) ?? {}))))(
    '$file agrees from its effective spacing, too',
    ({ file, trueES }) => {
      const found = spacing(without(sidecars.get(file)!, ...STATED));
      expect(found!.why).toMatch(/^EffectiveEchoSpacing/);
      expect(Math.abs(found!.value / trueES! - 1)).toBeLessThan(READER_TOLERANCE);
    },
  );
});

describeWithOpenData('one maker counts lines', () => {
  const json = openSidecars().find(({ path }) => path.includes('Brain_Express'))!.json;

  test('unless the sidecar holds its own element', () => {
    expect(spacing(json)).toMatchObject({ value: 560e-6, origin: 'given' });
  });

  test('and the count reproduces its own element (0043,102c), 560 us, within 1 us', () => {
    const counted = spacing(without(json, 'EchoSpacingMicroSecondsGE'))!;
    expect(Math.abs(counted.value - 560e-6)).toBeLessThan(1e-6);
    expect(counted.why).toBe(
      'EffectiveEchoSpacing 0.276456 ms x (80 - 1) / (40 lines played - 1), on the 4 us grid',
    );
  });

  test('with a converter from before its change, of unknown release, or wrongly named', () => {
    const old = openSidecars().find(({ path }) => path.includes('DWI_TENSOR_R2'))!.json;
    for (const version of ['v1.0.20211006', '', 'v1.0.20240101']) {
      const found = spacing({ ...old, ConversionSoftwareVersion: version })!;
      // (0043,102c) says 964 us; the grid of 4 us decides where the release does not.
      expect(Math.abs(found.value - 964e-6)).toBeLessThan(1e-6);
    }
  });

  test('and says so when no count lands on the grid', () => {
    const found = spacing({
      ...without(json, 'EchoSpacingMicroSecondsGE'),
      EffectiveEchoSpacing: 0.000281,
    });
    expect(found!.why).toMatch(/not on the 4 us grid, so doubtful$/);
  });
});

describeWithOpenData('another maker states neither', () => {
  const find = (part: string) => openSidecars().find(({ path }) => path.includes(part))!.json;

  test('and the water-fat shift agrees with the estimated readout time', () => {
    for (const part of ['philips__dti_1101', '2101_WIP_fcMRI_enh']) {
      const json = find(part);
      const fromReadout = spacing(json)!;
      const fromShift = spacing(without(json, 'EstimatedTotalReadoutTime'))!;
      expect(fromReadout.why).toMatch(/^EstimatedTotalReadoutTime/);
      expect(fromShift.why).toMatch(/^WaterFatShift/);
      expect(Math.abs(fromShift.value / fromReadout.value - 1)).toBeLessThan(ROUNDING_TOLERANCE);
    }
  });

  test('a train that counts the echoes of all echo times is turned down, with the reason', () => {
    // 2.5 times the echoes: 32.65 ms / 143 = 0.228 ms, below 1 / 2317 Hz = 0.432 ms.
    const json = { ...find('2101_WIP_fcMRI_enh'), EchoTrainLength: 143 };
    const { rejected, spacing: found } = findEchoSpacing(new Sidecar(json));
    expect(rejected.join(' ')).toMatch(/EchoSpacing 0\.228319 ms .* turned down/);
    expect(found!.origin).toBe('assumed');
  });
});

describe('without open data', () => {
  test('a sidecar of no maker follows the definition: effective spacing x acceleration', () => {
    // Effective values of two 7 T protocols: 0.32 ms with 2, 0.273 ms with 3 (common practice, from memory).
    expect(
      spacing({ EffectiveEchoSpacing: 0.00032, ParallelReductionFactorInPlane: 2 })!.value,
    ).toBe(0.00064);
    expect(
      spacing({ EffectiveEchoSpacing: 0.000273, ParallelReductionFactorInPlane: 3 })!.value,
    ).toBe(0.000819);
  });

  test('with the pixel bandwidth alone it is assumed, from the median of open sidecars', () => {
    const found = spacing({ Manufacturer: 'Canon', PixelBandwidth: 1563 })!;
    expect(found.value).toBeCloseTo(0.00081, 5);
    expect(found.origin).toBe('assumed');
  });

  test('a dwell time in the place of the spacing is turned down', () => {
    // 7.4 us stands so in one open T1-weighted sidecar.
    const { spacing: found, rejected } = findEchoSpacing(
      new Sidecar({ EffectiveEchoSpacing: 7.4e-6 }),
    );
    expect(found).toBeUndefined();
    expect(rejected).toHaveLength(1);
    expect(rejected[0]).toMatch(/0\.0074 ms .* turned down: not between 0\.3 ms and 1\.6 ms/);
  });

  test('a readout of 190 s, as one maker writes for 3D scans, is none', () => {
    expect(
      spacing({ Manufacturer: 'UIH', TotalReadoutTime: 190.7, ReconMatrixPE: 256 }),
    ).toBeUndefined();
  });

  test('a spacing is turned down when a line of it would take far longer to read than it has', () => {
    // 1.08 to 2.22 readout times are seen in 143 open sidecars.
    const json = { Manufacturer: 'Siemens', PixelBandwidth: 2000 };
    expect(spacing({ ...json, EffectiveEchoSpacing: 0.0012 })!.origin).toBe('derived');
    const { spacing: found, rejected } = findEchoSpacing(
      new Sidecar({ ...json, EffectiveEchoSpacing: 0.0015 }),
    );
    expect(found!.origin).toBe('assumed');
    expect(rejected.join()).toMatch(/3 times what one line takes at PixelBandwidth 2000 Hz/);
  });

  test('the readout time counts one spacing less than there are lines, acceleration apart', () => {
    const json = { Manufacturer: 'UIH', TotalReadoutTime: 0.0315, ReconMatrixPE: 64 };
    expect(spacing(json)!.value).toBe(0.0005);
    expect(spacing({ ...json, ParallelReductionFactorInPlane: 2 })!.value).toBe(0.001);
    expect(spacing({ ...json, ReconMatrixPE: undefined })).toBeUndefined();
    expect(spacing({ ...json, ReconMatrixPE: 1 })).toBeUndefined();
  });

  test('a water-fat shift takes its frequency from the field when it has none', () => {
    // 11.05 pixels / (3.4 ppm x 3 T x 42.577 MHz/T x 40) = 0.636 ms.
    const json = { Manufacturer: 'Philips', WaterFatShift: 11.05, EchoTrainLength: 39 };
    expect(spacing({ ...json, MagneticFieldStrength: 3 })!.value).toBeCloseTo(0.000636, 6);
    expect(spacing(json)).toBeUndefined();
    expect(spacing({ ...json, MagneticFieldStrength: 3, EchoTrainLength: 1 })).toBeUndefined();
  });

  test('nothing comes from nothing', () => {
    expect(findEchoSpacing(new Sidecar({}))).toEqual({ spacing: undefined, rejected: [] });
  });
});
