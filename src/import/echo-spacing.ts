/**
 * The true echo spacing of an echo-planar scan, which sets its tone at 1 / (2 x spacing).
 *
 * BIDS `EffectiveEchoSpacing` describes the reconstructed image; how to get back to what is played
 * differs by maker and converter. The rules and their checks are facts gathered from open sidecars with
 * known truth (`tests/protocol/echo-spacing.test.ts`): file names that state the spacing, and the
 * makers' own DICOM elements.
 *
 * @module
 */
import { assumed, derived, given, type Sourced } from '../protocol/origin.js';
import { formatValue } from '../protocol/format-value.js';
import type { Maker, Sidecar } from './sidecar.js';

export interface EchoSpacingFinding {
  /** In s; undefined when no rule gives a plausible one. */
  readonly spacing: Sourced<number> | undefined;
  /** Values that were turned down, and why. */
  readonly rejected: readonly string[];
}

/** Echo spacings outside this range, in s, are no echo-planar readout: 0.39 to 1.26 ms are seen. */
const PLAUSIBLE_SECONDS = { min: 0.0003, max: 0.0016 };

/**
 * Echo spacing x pixel bandwidth: at least 1, since a line is read for 1 / bandwidth; 1.08 to 2.22 over
 * 143 sidecars of one maker. Median 1.27.
 */
const SPACING_TIMES_BANDWIDTH = { min: 1, median: 1.27, max: 2.6 };

/** Fat is this far from water, in ppm; makes a shift in pixels a time. */
const WATER_FAT_PPM = 3.4;

/** MHz per tesla, proton. */
const MHZ_PER_TESLA = 42.577;

/** One maker's timing grid, in s. */
const GE_GRID_SECONDS = 4e-6;

/** How far from the grid a value may lie, in s: sidecars print six digits, which makes 0.005 us. */
const GE_GRID_TOLERANCE_SECONDS = 0.05e-6;

/** The converter release that changed what the effective spacing refers to on one maker's images. */
const CONVERTER_CHANGE = 20230609;

/** Readout times above this, in s, are no readout: 190 s is seen on a 3D scan. */
const MAX_READOUT_SECONDS = 1;

/** Digits that sidecars carry. */
const SIGNIFICANT_DIGITS = 6;

interface Rule {
  readonly makers?: readonly Maker[];
  readonly find: (sidecar: Sidecar) => Sourced<number> | undefined;
}

const ms = (s: number): string => `${formatValue(s * 1000)} ms`;

/** In the order in which they are trusted. */
const RULES: readonly Rule[] = [
  { makers: ['siemens'], find: sidecar => reported(sidecar, 'DerivedVendorReportedEchoSpacing') },
  { makers: ['siemens'], find: sidecar => reported(sidecar, 'VendorReportedEchoSpacing') },
  { makers: ['ge'], find: fromMicroseconds },
  { makers: ['ge'], find: fromLineCount },
  { makers: ['philips'], find: fromEstimatedReadout },
  { makers: ['philips'], find: fromWaterFatShift },
  { makers: ['siemens', 'philips', 'uih', 'canon', 'other'], find: fromEffective },
  { makers: ['siemens', 'uih', 'canon', 'other'], find: fromReadoutTime },
  { makers: ['siemens'], find: fromPhaseBandwidth },
  { makers: ['siemens', 'philips', 'uih', 'canon', 'other'], find: fromPixelBandwidth },
];

/** Finds the true echo spacing of an echo-planar sidecar. On others the fields have no meaning. */
export function findEchoSpacing(sidecar: Sidecar): EchoSpacingFinding {
  const rejected: string[] = [];
  for (const { makers, find } of RULES) {
    if (makers?.includes(sidecar.maker) === false) continue;
    const spacing = find(sidecar);
    if (spacing === undefined) continue;
    const objection = implausible(spacing.value, sidecar);
    if (objection === undefined) {
      const value = Number(spacing.value.toPrecision(SIGNIFICANT_DIGITS));
      return { spacing: { ...spacing, value }, rejected };
    }
    rejected.push(`EchoSpacing ${ms(spacing.value)} (${spacing.why}) turned down: ${objection}`);
  }
  return { spacing: undefined, rejected };
}

function implausible(spacingSeconds: number, sidecar: Sidecar): string | undefined {
  const { min, max } = PLAUSIBLE_SECONDS;
  if (spacingSeconds < min || spacingSeconds > max) return `not between ${ms(min)} and ${ms(max)}`;
  const bandwidth = sidecar.positive('PixelBandwidth');
  // One maker reports the bandwidth of another pixel.
  if (bandwidth === undefined || sidecar.maker === 'ge') return undefined;
  const ratio = spacingSeconds * bandwidth;
  if (ratio < SPACING_TIMES_BANDWIDTH.min) {
    return `shorter than one line takes at PixelBandwidth ${formatValue(bandwidth)} Hz, ${ms(1 / bandwidth)}`;
  }
  if (ratio > SPACING_TIMES_BANDWIDTH.max) {
    return `${formatValue(ratio)} times what one line takes at PixelBandwidth ${formatValue(bandwidth)} Hz`;
  }
  return undefined;
}

function reported(sidecar: Sidecar, key: string): Sourced<number> | undefined {
  const value = sidecar.positive(key);
  return value === undefined ? undefined : given(value, sidecar.cite(key));
}

function fromMicroseconds(sidecar: Sidecar): Sourced<number> | undefined {
  const value = sidecar.positive('EchoSpacingMicroSecondsGE');
  return value === undefined
    ? undefined
    : given(value / 1e6, sidecar.cite('EchoSpacingMicroSecondsGE'));
}

/** Effective spacing x acceleration, without phase oversampling. */
function fromEffective(sidecar: Sidecar): Sourced<number> | undefined {
  const effective = sidecar.positive('EffectiveEchoSpacing');
  if (effective === undefined) return undefined;
  const { factor, words } = playedPerEffective(sidecar);
  return derived(effective * factor, `EffectiveEchoSpacing ${ms(effective)}${words}`);
}

/** TotalReadoutTime / (lines of the image - 1) is the effective spacing. */
function fromReadoutTime(sidecar: Sidecar): Sourced<number> | undefined {
  const readout = sidecar.positive('TotalReadoutTime');
  const lines = sidecar.positive('ReconMatrixPE');
  if (readout === undefined || readout > MAX_READOUT_SECONDS || lines === undefined || lines < 2) {
    return undefined;
  }
  const { factor, words } = playedPerEffective(sidecar);
  return derived(
    (readout / (lines - 1)) * factor,
    `TotalReadoutTime ${ms(readout)} / (ReconMatrixPE ${lines} - 1)${words}`,
  );
}

function fromPhaseBandwidth(sidecar: Sidecar): Sourced<number> | undefined {
  const bandwidth = sidecar.positive('BandwidthPerPixelPhaseEncode');
  const lines = sidecar.positive('ReconMatrixPE');
  if (bandwidth === undefined || lines === undefined) return undefined;
  const { factor, words } = playedPerEffective(sidecar);
  return derived(
    factor / (bandwidth * lines),
    `1 / (BandwidthPerPixelPhaseEncode ${formatValue(bandwidth)} Hz x ReconMatrixPE ${lines})${words}`,
  );
}

function playedPerEffective(sidecar: Sidecar): { factor: number; words: string } {
  const { acceleration } = sidecar;
  const oversampling = sidecar.positive('PhaseOversampling') ?? 0;
  const divided = oversampling > 0 ? ` / (1 + PhaseOversampling ${oversampling})` : '';
  return {
    factor: acceleration / (1 + oversampling),
    words: ` x in-plane acceleration ${acceleration}${divided}`,
  };
}

/**
 * One maker's effective spacing counts the lines that are played, rounded up to twos, or to fours with
 * partial Fourier; from a release of the converter on, it refers to the acquired lines instead of the
 * lines of the image. Its times lie on a grid of 4 us: that decides when the first choice does not fit.
 */
function fromLineCount(sidecar: Sidecar): Sourced<number> | undefined {
  const effective = sidecar.positive('EffectiveEchoSpacing');
  const acquired = sidecar.positive('AcquisitionMatrixPE') ?? sidecar.positive('ReconMatrixPE');
  const image = sidecar.positive('ReconMatrixPE') ?? acquired;
  if (effective === undefined || acquired === undefined || image === undefined) return undefined;

  const release = converterRelease(sidecar);
  const [first, second] =
    release === undefined || release >= CONVERTER_CHANGE ? [acquired, image] : [image, acquired];
  const roundings = sidecar.words('ScanOptions').has('PFF') ? [4, 2] : [2, 4];
  const candidates = [first, second].flatMap(reference =>
    roundings.map(rounding => {
      const lines = Math.ceil(acquired / sidecar.acceleration / rounding - 1e-9) * rounding;
      return { reference, lines, spacing: (effective * (reference - 1)) / (lines - 1) };
    }),
  );
  const onGrid = candidates.find(({ spacing }) => {
    const offSeconds = Math.abs(spacing - Math.round(spacing / GE_GRID_SECONDS) * GE_GRID_SECONDS);
    return offSeconds <= GE_GRID_TOLERANCE_SECONDS && implausible(spacing, sidecar) === undefined;
  });
  const { reference, lines, spacing } = onGrid ?? candidates[0]!;
  const words = `EffectiveEchoSpacing ${ms(effective)} x (${reference} - 1) / (${lines} lines played - 1)`;
  return derived(
    spacing,
    onGrid === undefined
      ? `${words}; not on the 4 us grid, so doubtful`
      : `${words}, on the 4 us grid`,
  );
}

/** `v1.0.20230706` and the like. */
function converterRelease(sidecar: Sidecar): number | undefined {
  const match = /\b(20\d{6})\b/.exec(sidecar.text('ConversionSoftwareVersion'));
  return match === null ? undefined : Number(match[1]);
}

function fromEstimatedReadout(sidecar: Sidecar): Sourced<number> | undefined {
  const readout = sidecar.positive('EstimatedTotalReadoutTime');
  const echoes = sidecar.positive('EchoTrainLength');
  if (readout === undefined || echoes === undefined || echoes < 2) return undefined;
  return derived(
    readout / echoes,
    `EstimatedTotalReadoutTime ${ms(readout)} / EchoTrainLength ${echoes}`,
  );
}

/** Shift of fat along the phase-encode axis, in pixels = ppm x MHz x spacing x (EPI factor + 1). */
function fromWaterFatShift(sidecar: Sidecar): Sourced<number> | undefined {
  const shift = sidecar.positive('WaterFatShift');
  const echoes = sidecar.positive('EchoTrainLength');
  const tesla = sidecar.positive('MagneticFieldStrength');
  const megahertz =
    sidecar.positive('ImagingFrequency') ??
    (tesla === undefined ? undefined : tesla * MHZ_PER_TESLA);
  if (shift === undefined || megahertz === undefined || echoes === undefined || echoes < 2) {
    return undefined;
  }
  return derived(
    shift / (WATER_FAT_PPM * megahertz * (echoes + 1)),
    `WaterFatShift ${formatValue(shift)} pixels / (${WATER_FAT_PPM} ppm x ${formatValue(megahertz)} MHz x (EchoTrainLength ${echoes} + 1))`,
  );
}

function fromPixelBandwidth(sidecar: Sidecar): Sourced<number> | undefined {
  const bandwidth = sidecar.positive('PixelBandwidth');
  if (bandwidth === undefined) return undefined;
  const { median } = SPACING_TIMES_BANDWIDTH;
  return assumed(
    median / bandwidth,
    `${median} / PixelBandwidth ${formatValue(bandwidth)} Hz, the median of 143 open sidecars`,
  );
}
