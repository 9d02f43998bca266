/**
 * Values of one scan that cannot all be true. Each rule looks at given values only: what is left out
 * never contradicts.
 *
 * Whether the gradients can play a scan is decided where they are drawn; here stand the relations
 * that need no gradient. To add one, add a row to {@link RULES}.
 *
 * @module
 */
import type { Reason } from './check-field.js';
import { LONGEST_SLAB_REPETITION_SECONDS } from './families/field-map-gradient-echo.js';
import { FIELDS, type FieldName, type FieldValue } from './fields.js';
import { formatValue } from './format-value.js';
import type { ScanType } from './scan.js';

export interface Contradiction extends Reason {
  /** The fields that contradict one another; the first is where the problem is shown. */
  readonly fields: readonly FieldName[];
}

/**
 * Numbers of a scan, of a list its first; a field with a meaning when absent (no acceleration, ...) has
 * that value.
 */
type Numbers = (name: FieldName) => number;

interface Rule {
  /** Types that it concerns; all when left out. */
  readonly types?: readonly ScanType[];
  /** Fields without which it has nothing to say; the first is where the problem is shown. */
  readonly from: readonly FieldName[];
  /** Fields that it also uses, with the value that their absence means. */
  readonly absence?: Readonly<Partial<Record<FieldName, number>>>;
  /** What is wrong; undefined when nothing is. */
  readonly find: (value: Numbers) => Omit<Reason, 'found'> | undefined;
}

const EPI: readonly ScanType[] = [
  'echo-planar',
  'spin-echo-echo-planar',
  'diffusion-echo-planar',
  'field-map-echo-planar',
];

/** Rounding that real protocols show when products of times are compared: 1 %. */
const ROUNDING = 1.01;

/** How far given and effective echo spacing may differ: rounding of matrix sizes makes 0.7 % (open sidecars). */
const ECHO_SPACING_TOLERANCE = 0.05;

/** How much longer than its volumes a scan may be, in s: dummy and reference volumes, preparation. Common practice, no source. */
const PREPARATION_SECONDS = 20;

/** And in volumes, since dummy and single-band reference volumes last as long as others. */
const PREPARATION_VOLUMES = 10;

const seconds = (value: number): string => `${formatValue(value)} s`;

const RULES: readonly Rule[] = [
  {
    from: ['EchoTime', 'RepetitionTime'],
    find: value =>
      value('EchoTime') > value('RepetitionTime')
        ? {
            allowed: `an echo time below the repetition time, ${seconds(value('RepetitionTime'))}`,
            fix: 'Correct EchoTime or RepetitionTime; both are in seconds.',
          }
        : undefined,
  },
  {
    from: ['EchoTime', 'RepetitionTimeExcitation'],
    find: value =>
      value('EchoTime') >= value('RepetitionTimeExcitation')
        ? {
            allowed: `an echo time below ${seconds(value('RepetitionTimeExcitation'))}, the time between excitations`,
            fix: 'Correct EchoTime or RepetitionTimeExcitation.',
          }
        : undefined,
  },
  {
    from: ['EchoTimes', 'EchoTime'],
    find: value =>
      value('EchoTimes') === value('EchoTime')
        ? undefined
        : {
            allowed: `a first echo at ${seconds(value('EchoTime'))}, as EchoTime says`,
            fix: 'Keep EchoTimes, which names every echo, and remove EchoTime.',
          },
  },
  {
    from: ['EchoTime2', 'EchoTime1'],
    find: value =>
      value('EchoTime2') <= value('EchoTime1')
        ? {
            allowed: 'a second echo after the first',
            fix: 'Exchange EchoTime1 and EchoTime2, or correct them.',
          }
        : undefined,
  },
  {
    from: ['EchoTime2', 'RepetitionTime'],
    absence: { NumberOfSlices: 1 },
    find: value => {
      const isSlab = value('RepetitionTime') < LONGEST_SLAB_REPETITION_SECONDS;
      const needed = value('EchoTime2') * (isSlab ? 1 : value('NumberOfSlices'));
      return needed > value('RepetitionTime') * ROUNDING
        ? {
            allowed: `at least ${seconds(needed)} for RepetitionTime: every slice takes its second echo in it`,
            fix: 'Correct RepetitionTime, EchoTime2 or NumberOfSlices.',
          }
        : undefined;
    },
  },
  {
    from: ['InversionTime', 'RepetitionTime'],
    find: value =>
      value('InversionTime') >= value('RepetitionTime')
        ? {
            allowed: `an inversion time below the time from one inversion to the next, ${seconds(value('RepetitionTime'))}`,
            fix: 'If RepetitionTime is the time between excitations, name it RepetitionTimeExcitation.',
          }
        : undefined,
  },
  {
    from: ['InversionTime2', 'InversionTime'],
    find: value =>
      value('InversionTime2') <= value('InversionTime')
        ? {
            allowed: 'a second inversion time after the first',
            fix: 'Exchange InversionTime and InversionTime2, or correct them.',
          }
        : undefined,
  },
  {
    from: ['InversionTime2', 'RepetitionTime'],
    find: value =>
      value('InversionTime2') >= value('RepetitionTime')
        ? {
            allowed: `a second inversion time below the time from one inversion to the next, ${seconds(value('RepetitionTime'))}`,
            fix: 'Correct InversionTime2 or RepetitionTime; both are in seconds.',
          }
        : undefined,
  },
  {
    from: ['RepetitionTimeExcitation', 'RepetitionTime'],
    absence: { EchoTrainLength: 1 },
    find: value => {
      const train = value('RepetitionTimeExcitation') * value('EchoTrainLength');
      return train > value('RepetitionTime') * ROUNDING
        ? {
            allowed: `a train (RepetitionTimeExcitation x EchoTrainLength = ${seconds(train)}) that fits into RepetitionTime`,
            fix: 'Correct RepetitionTimeExcitation, EchoTrainLength or RepetitionTime.',
          }
        : undefined;
    },
  },
  {
    from: ['NumberOfSlices', 'MultibandAccelerationFactor'],
    find: value => {
      const [slices, factor] = [value('NumberOfSlices'), value('MultibandAccelerationFactor')];
      if (slices % factor === 0) return undefined;
      const below = Math.floor(slices / factor) * factor;
      return {
        allowed: `a number of slices that ${factor} divides, such as ${below === 0 ? '' : `${below} or `}${below + factor}`,
        fix: 'Correct NumberOfSlices or MultibandAccelerationFactor.',
      };
    },
  },
  {
    types: EPI,
    from: ['RepetitionTime', 'NumberOfSlices'],
    absence: {
      MultibandAccelerationFactor: 1,
      DelayTime: 0,
      EchoTime: 0,
      EchoSpacing: 0,
      EchoTrainLength: 1,
    },
    find: value => {
      const shots = Math.ceil(value('NumberOfSlices') / value('MultibandAccelerationFactor'));
      const shot = Math.max(value('EchoTime'), value('EchoSpacing') * value('EchoTrainLength'));
      const delay = value('DelayTime');
      return shots * shot > (value('RepetitionTime') - delay) * ROUNDING
        ? {
            allowed: `at least ${seconds(shots * shot + delay)} for RepetitionTime: ${shots} shots of at least ${seconds(shot)} (echo time, or EchoSpacing x EchoTrainLength)${delay === 0 ? '' : ', and the delay'}`,
            fix: `Correct RepetitionTime, ${delay === 0 ? '' : 'DelayTime, '}NumberOfSlices or MultibandAccelerationFactor.`,
          }
        : undefined;
    },
  },
  {
    types: ['turbo-spin-echo-3d', 'turbo-spin-echo-2d'],
    from: ['EchoSpacing', 'EchoTrainLength', 'RepetitionTime'],
    find: value => {
      const train = value('EchoSpacing') * value('EchoTrainLength');
      return train > value('RepetitionTime') * ROUNDING
        ? {
            allowed: `a train (EchoSpacing x EchoTrainLength = ${seconds(train)}) that fits into RepetitionTime`,
            fix: 'Correct EchoSpacing, EchoTrainLength or RepetitionTime.',
          }
        : undefined;
    },
  },
  {
    from: ['EchoSpacing', 'EffectiveEchoSpacing'],
    absence: { ParallelReductionFactorInPlane: 1 },
    find: value => {
      const played = value('EffectiveEchoSpacing') * value('ParallelReductionFactorInPlane');
      return Math.abs(value('EchoSpacing') / played - 1) > ECHO_SPACING_TOLERANCE
        ? {
            allowed: `EchoSpacing = EffectiveEchoSpacing x ParallelReductionFactorInPlane = ${seconds(played)}, within ${ECHO_SPACING_TOLERANCE * 100} %`,
            fix: 'Keep EchoSpacing, which is what the scanner plays, and remove EffectiveEchoSpacing; or correct the acceleration.',
          }
        : undefined;
    },
  },
  {
    from: ['EchoSpacing', 'PixelBandwidth'],
    find: value =>
      value('EchoSpacing') * value('PixelBandwidth') * ROUNDING < 1
        ? {
            allowed: `an echo spacing of at least ${seconds(1 / value('PixelBandwidth'))}, which PixelBandwidth says one line is read for`,
            fix: 'Correct EchoSpacing or PixelBandwidth (Hz per pixel).',
          }
        : undefined,
  },
  {
    types: EPI,
    from: ['EchoTrainLength', 'AcquisitionMatrixPE'],
    find: value =>
      value('EchoTrainLength') > value('AcquisitionMatrixPE')
        ? {
            allowed: `at most ${value('AcquisitionMatrixPE')} echoes, one for every phase-encode line`,
            fix: 'Correct EchoTrainLength or AcquisitionMatrixPE (with its oversampling).',
          }
        : undefined,
  },
  {
    types: EPI,
    from: ['Duration', 'RepetitionTime', 'NumberOfVolumes'],
    absence: {
      MultibandAccelerationFactor: 1,
      NumberOfReferenceVolumes: 0,
      NumberOfCalibrationShots: 0,
    },
    find: value => {
      const volumes = value('RepetitionTime') * value('NumberOfVolumes');
      // Slice by slice, so as many times longer as the multiband factor.
      const single = value('NumberOfReferenceVolumes') + value('NumberOfCalibrationShots');
      const before = single * value('MultibandAccelerationFactor') * value('RepetitionTime');
      const shortest = volumes - value('RepetitionTime');
      const longest =
        volumes + before + PREPARATION_SECONDS + PREPARATION_VOLUMES * value('RepetitionTime');
      return value('Duration') < shortest / ROUNDING || value('Duration') > longest * ROUNDING
        ? {
            allowed: `RepetitionTime x NumberOfVolumes = ${seconds(volumes)}, or up to ${seconds(longest)} with dummy volumes and preparation`,
            fix: 'Remove Duration, or correct one of the three.',
          }
        : undefined;
    },
  },
  {
    from: ['RepetitionTime', 'LabelingDuration', 'PostLabelingDelay'],
    find: value => {
      const before = value('LabelingDuration') + value('PostLabelingDelay');
      return before >= value('RepetitionTime')
        ? {
            allowed: `labelling and delay (together ${seconds(before)}) that end before RepetitionTime does`,
            fix: 'Correct RepetitionTime, LabelingDuration or PostLabelingDelay; all are in seconds.',
          }
        : undefined;
    },
  },
  {
    from: ['NumberOfVolumes', 'NumberOfDirections'],
    find: value =>
      value('NumberOfVolumes') < value('NumberOfDirections')
        ? {
            allowed: `at least one volume for each of the ${value('NumberOfDirections')} directions`,
            fix: 'Correct NumberOfVolumes or NumberOfDirections.',
          }
        : undefined,
  },
  {
    from: ['DiffusionGradientSeparation', 'DiffusionGradientDuration'],
    find: value =>
      value('DiffusionGradientSeparation') < value('DiffusionGradientDuration')
        ? {
            allowed: `a second lobe that starts after the first has ended, ${seconds(value('DiffusionGradientDuration'))} later or more`,
            fix: 'Exchange the two, or correct them.',
          }
        : undefined,
  },
  {
    from: ['DiffusionGradientSeparation', 'DiffusionGradientDuration', 'EchoTime'],
    find: value => {
      const both = value('DiffusionGradientSeparation') + value('DiffusionGradientDuration');
      return both >= value('EchoTime')
        ? {
            allowed: `both lobes (separation + duration = ${seconds(both)}) before the echo`,
            fix: 'Correct EchoTime or the two times of the diffusion lobes.',
          }
        : undefined;
    },
  },
];

/** Every contradiction among the given fields of a scan. */
export function findContradictions(
  type: ScanType,
  fields: Readonly<Partial<Record<FieldName, FieldValue>>>,
): readonly Contradiction[] {
  return RULES.flatMap(rule => {
    if (rule.types?.includes(type) === false) return [];
    const numberOf = (name: FieldName): number | undefined => {
      const value = fields[name];
      const number: unknown = Array.isArray(value) ? value[0] : value;
      return typeof number === 'number' ? number : undefined;
    };
    if (!rule.from.every(name => numberOf(name) !== undefined)) return [];
    const absence = rule.absence ?? {};
    const reason = rule.find(name => numberOf(name) ?? absence[name]!);
    if (reason === undefined) return [];
    const used = [...rule.from, ...(Object.keys(absence) as FieldName[])];
    const present = used.filter(name => fields[name] !== undefined);
    return [{ fields: present, found: list(present, fields), ...reason }];
  });
}

/** The fields with their values and units, for example `EchoTime 0.9 s, RepetitionTime 0.8 s`. */
function list(
  names: readonly FieldName[],
  fields: Readonly<Partial<Record<FieldName, FieldValue>>>,
): string {
  return names
    .map(name => {
      const { unit } = FIELDS[name];
      return `${name} ${formatValue(fields[name]!)}${unit === '' ? '' : ` ${unit}`}`;
    })
    .join(', ');
}
