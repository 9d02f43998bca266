/**
 * The fields of a scan from its sidecar, its image header and its b-values, each with its origin.
 *
 * What cannot be found is left out, to be derived or assumed where scans are resolved.
 *
 * @module
 */
import { findEchoSpacing } from './echo-spacing.js';
import { FAMILY_FIELDS } from '../protocol/families.js';
import type { FieldName, FieldValue } from '../protocol/fields.js';
import { assumed, derived, given, type Sourced } from '../protocol/origin.js';
import { pruneFields } from './prune-fields.js';
import { formatValue } from '../protocol/format-value.js';
import type { ScanFields, ScanType } from '../protocol/scan.js';
import { EXCITATION_TR_SECONDS } from './scan-evidence.js';
import {
  correctVoxel,
  type ImageSize,
  readDirections,
  readImage,
  readMatrix,
} from './sidecar-geometry.js';
import type { Sidecar } from './sidecar.js';
import { readShells } from './shells.js';
import { readLabelling } from './sidecar-labelling.js';
import { readTurboSpinEcho } from './sidecar-spin-echo.js';
import { readSlices } from './slice-timing.js';

/** What a scan's files hold. */
export interface ScanSource {
  readonly sidecar: Sidecar;
  /** Echo times of all its files, in s, ascending. */
  readonly echoTimesSeconds: readonly number[];
  /** Inversion times of all its files, in s, ascending. */
  readonly inversionTimesSeconds: readonly number[];
  /** Whether it has two readout trains after each inversion. */
  readonly twoTrains: boolean;
  readonly image?: ImageSize | undefined;
  /** b-value of every volume, in s/mm2. */
  readonly bValues?: readonly number[] | undefined;
}

export interface FieldFinding {
  readonly fields: ScanFields;
  readonly notes: readonly string[];
}

/** Fields being gathered. */
export type Fields = Partial<Record<FieldName, Sourced<FieldValue>>>;

/** Types with an echo-planar readout: only there have some values of a sidecar a meaning. */
export const ECHO_PLANAR_TYPES: readonly ScanType[] = [
  'echo-planar',
  'spin-echo-echo-planar',
  'diffusion-echo-planar',
  'field-map-echo-planar',
  'arterial-spin-labelling',
];

/** Types of 2D scans, not echo planar, whose slices SliceTiming counts. */
const MULTI_SLICE_TYPES: readonly ScanType[] = [
  'field-map-gradient-echo',
  'gradient-echo-2d',
  'turbo-spin-echo-2d',
  'spin-echo-2d',
];

/** Fields that a sidecar may hold under the same name. */
const SAME_NAME: readonly FieldName[] = [
  'RepetitionTimeExcitation',
  'DelayTime',
  'SliceThickness',
  'AcquisitionMatrixPE',
  'BaseResolution',
  'PixelBandwidth',
  'EchoTrainLength',
  'ParallelReductionFactorInPlane',
  'PartialFourier',
  'NumberOfTransients',
];

/** Numbers of slices excited at once that are guessed. */
const MULTIBAND_FACTORS = [2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12];

/** A duration in a sidecar is that of the scan, not of a volume, when it is this many volumes long. */
const WHOLE_SCAN_VOLUMES = 1.5;

/** Reads every field of the scan's type that the files give and that can be true. */
export function readFields(type: ScanType, source: ScanSource): FieldFinding {
  const { sidecar, image } = source;
  const echoPlanar = ECHO_PLANAR_TYPES.includes(type);
  const readout = echoPlanar ? readEchoPlanar(sidecar) : { fields: {}, notes: [], without: [] };
  const isLabelling = type === 'arterial-spin-labelling';
  const labelling = isLabelling ? readLabelling(sidecar) : { fields: {}, notes: [] };
  const found: Fields = {
    ...sameName(sidecar, readout.without),
    ...readEchoTimes(source, type),
    ...readInversionTimes(source),
    ...readRepetition(type, sidecar),
    ...readDirections(sidecar),
    ...readMatrix(sidecar),
    ...(image === undefined ? {} : readImage(image, sidecar, echoPlanar)),
    ...readout.fields,
    ...(MULTI_SLICE_TYPES.includes(type) ? readMultiSlice(type, sidecar) : {}),
    ...(type === 'turbo-spin-echo-2d' ? readTurboSpinEcho(sidecar) : {}),
    ...(type === 'spectroscopy' ? readWaterSuppression(sidecar) : {}),
    ...labelling.fields,
    ...(type === 'diffusion-echo-planar' ? readDiffusion(source) : {}),
  };
  const complete = {
    ...readPartitions(sidecar),
    ...(echoPlanar && !isLabelling ? guessMultiband(found) : {}),
    ...found,
    ...(echoPlanar ? correctVoxel(found, sidecar) : {}),
    ...readDuration(type, sidecar),
  };
  const ofType = FAMILY_FIELDS[type].flatMap(name =>
    complete[name] === undefined ? [] : [[name, complete[name]] as const],
  );
  const pruned = pruneFields(type, Object.fromEntries(ofType));
  return { fields: pruned.fields, notes: [...readout.notes, ...labelling.notes, ...pruned.notes] };
}

function sameName(sidecar: Sidecar, without: readonly FieldName[]): Fields {
  const names = SAME_NAME.filter(name => !without.includes(name));
  return Object.fromEntries(
    names.flatMap(name => {
      const value = sidecar.positive(name);
      return value === undefined ? [] : [[name, given(value, sidecar.cite(name))]];
    }),
  );
}

/** Echo times of all echoes: a field map names two, everything else the first. */
function readEchoTimes({ sidecar, echoTimesSeconds }: ScanSource, type: ScanType): Fields {
  if (type === 'field-map-gradient-echo') {
    const named = ([1, 2] as const).map(i => sidecar.positive(`EchoTime${i}`));
    const [first, second] = named.every(time => time !== undefined) ? named : echoTimesSeconds;
    const why = first === named[0] ? 'EchoTime1, EchoTime2' : 'EchoTime of each echo';
    return {
      ...(first === undefined ? {} : { EchoTime1: given(first, why) }),
      ...(second === undefined ? {} : { EchoTime2: given(second, why) }),
    };
  }
  const [first] = echoTimesSeconds;
  if (first === undefined) return {};
  if (echoTimesSeconds.length > 1 && FAMILY_FIELDS[type].includes('EchoTimes')) {
    return { EchoTimes: given(echoTimesSeconds, 'EchoTime of each echo') };
  }
  const of = echoTimesSeconds.length === 1 ? '' : `, first of ${echoTimesSeconds.length} echoes`;
  return { EchoTime: given(first, `${sidecar.cite('EchoTime')}${of}`) };
}

/** The second inversion time of two, in s, at most this share of the repetition time. Common practice, no source. */
const SECOND_INVERSION = { timeSeconds: 2.5, share: 0.6 };

/** The first inversion time of two, in s; later ones are taken for the second. Common practice, no source. */
const FIRST_INVERSION = { timeSeconds: 0.8, latestSeconds: 1.5 };

/** Inversion times: one, or two where there are two readout trains; each file names that of its train. */
function readInversionTimes({ sidecar, inversionTimesSeconds, twoTrains }: ScanSource): Fields {
  const [first, last] = twoTrains
    ? [inversionTimesSeconds[0], inversionTimesSeconds.at(-1)]
    : [sidecar.positive('InversionTime')];
  const found = (value: number): Sourced<number> => given(value, sidecar.cite('InversionTime'));
  if (first === undefined) return {};
  if (last === undefined) return { InversionTime: found(first) };
  if (first < last) return { InversionTime: found(first), InversionTime2: found(last) };
  if (first > FIRST_INVERSION.latestSeconds) {
    const why = 'the first train of two, whose files are not here; common practice, no source';
    return {
      InversionTime: assumed(FIRST_INVERSION.timeSeconds, why),
      InversionTime2: found(first),
    };
  }
  const repetition = sidecar.positive('RepetitionTime') ?? Infinity;
  const second = Math.min(SECOND_INVERSION.timeSeconds, SECOND_INVERSION.share * repetition);
  const why = 'the second train of two, whose files are not here; common practice, no source';
  return { InversionTime: found(first), InversionTime2: assumed(second, why) };
}

/**
 * RepetitionTime. In an inversion-prepared scan some makers mean the time from inversion to inversion,
 * others that between excitations: below 0.1 s it is the latter.
 */
function readRepetition(type: ScanType, sidecar: Sidecar): Fields {
  const preparation = sidecar.positive('RepetitionTimePreparation');
  const excitation = sidecar.positive('RepetitionTimeExcitation');
  const repetition = sidecar.positive('RepetitionTime');
  const inner = type === 'inversion-gradient-echo-3d' && (repetition ?? 1) < EXCITATION_TR_SECONDS;
  const fields: Fields = {};
  if (repetition !== undefined && !inner) {
    fields.RepetitionTime = given(repetition, sidecar.cite('RepetitionTime'));
  } else if (preparation !== undefined) {
    fields.RepetitionTime = given(preparation, sidecar.cite('RepetitionTimePreparation'));
  } else if (excitation !== undefined && !FAMILY_FIELDS[type].includes('InversionTime')) {
    fields.RepetitionTime = given(excitation, sidecar.cite('RepetitionTimeExcitation'));
  }
  if (repetition !== undefined && inner) {
    fields.RepetitionTimeExcitation = derived(
      repetition,
      `${sidecar.cite('RepetitionTime')}, too short to be the time between inversions`,
    );
  }
  return fields;
}

/** What only an echo-planar sidecar tells, and the fields that are not to be taken from it. */
function readEchoPlanar(sidecar: Sidecar): FieldFinding & { without: readonly FieldName[] } {
  const { spacing, rejected } = findEchoSpacing(sidecar);
  const { slices, multiband, notes } = readSlices(sidecar);
  const fields: Fields = {};
  if (spacing !== undefined) fields.EchoSpacing = spacing;
  if (slices !== undefined) fields.NumberOfSlices = slices;
  if (multiband !== undefined) fields.MultibandAccelerationFactor = multiband;
  const options = sidecar.words('ScanOptions');
  if (options.size > 0) {
    const has = options.has('FS');
    fields.FatSaturation = derived(has, `ScanOptions ${has ? 'name' : 'do not name'} FS`);
  }
  const without: FieldName[] = [];
  const all = [...rejected, ...notes];
  if (sidecar.maker === 'ge' && sidecar.has('PixelBandwidth')) {
    without.push('PixelBandwidth');
    all.push('PixelBandwidth is not used: this maker reports that of another pixel.');
  }
  // One echo is what converters write when they do not know; a spacing that was turned down may mean
  // that the echoes of all echo times were counted.
  if (sidecar.number('EchoTrainLength') === 1 || rejected.length > 0)
    without.push('EchoTrainLength');
  return { fields, notes: all, without };
}

/**
 * Slices that do not fit into the repetition time one at a time are excited together: the smallest
 * factor that divides them and lets them fit.
 */
function guessMultiband(found: Fields): Fields {
  const number = (name: FieldName): number | undefined =>
    typeof found[name]?.value === 'number' ? found[name].value : undefined;
  const slices = number('NumberOfSlices');
  const repetition = number('RepetitionTime');
  const echo = number('EchoTime');
  if (slices === undefined || repetition === undefined || echo === undefined) return {};
  // From the excitation to the echo, and half of the train after it.
  const shot = echo + ((number('EchoSpacing') ?? 0) * (number('EchoTrainLength') ?? 0)) / 2;
  if (slices * shot <= repetition) return {};
  const factor = MULTIBAND_FACTORS.find(
    candidate => slices % candidate === 0 && (slices / candidate) * shot <= repetition,
  );
  if (factor === undefined) return {};
  const why = `${slices} slices of at least ${formatValue(shot)} s each do not fit into RepetitionTime ${formatValue(repetition)} s; the smallest factor with which they do`;
  return { MultibandAccelerationFactor: assumed(factor, why) };
}

function readWaterSuppression(sidecar: Sidecar): Fields {
  const suppressed = sidecar.flag('WaterSuppression');
  if (suppressed === undefined) return {};
  return { WaterSuppression: given(suppressed, sidecar.cite('WaterSuppression')) };
}

/** Shells, and the refocusing pulses: "bipolar" is one maker's word for two of them. */
function readDiffusion({ sidecar, bValues }: ScanSource): Fields {
  const scheme = sidecar.text('DiffusionScheme');
  const twice = /^bipolar$/i.test(scheme);
  return {
    ...readShells(bValues),
    ...(scheme === ''
      ? {}
      : { DoubleRefocused: derived(twice, `DiffusionScheme is ${twice ? '' : 'not '}Bipolar`) }),
  };
}

/** Slices of a 2D scan; the short repetition time of a field map holds a single excitation. */
function readMultiSlice(type: ScanType, sidecar: Sidecar): Fields {
  const repetition = sidecar.positive('RepetitionTime');
  if (type === 'field-map-gradient-echo' && isSingleExcitation(repetition)) {
    const why = `RepetitionTime ${formatValue(repetition)} s holds one excitation, not one of every slice`;
    return { NumberOfSlices: derived(1, why) };
  }
  const times = sidecar.numbers('SliceTiming') ?? [];
  if (times.length < 2) return {};
  return { NumberOfSlices: derived(times.length, `${times.length} entries of SliceTiming`) };
}

const isSingleExcitation = (repetitionSeconds: number | undefined): repetitionSeconds is number =>
  repetitionSeconds !== undefined && repetitionSeconds < EXCITATION_TR_SECONDS;

/** Partitions of a 3D scan. */
function readPartitions(sidecar: Sidecar): Fields {
  const partitions = sidecar.positive('PhaseEncodingStepsOutOfPlane');
  if (partitions === undefined || partitions < 2) return {};
  return { NumberOfSlices: derived(partitions, sidecar.cite('PhaseEncodingStepsOutOfPlane')) };
}

/** Length of the scan, where the sidecar states it. */
function readDuration(type: ScanType, sidecar: Sidecar): Fields {
  const repetition = sidecar.positive('RepetitionTime');
  if (type === 'field-map-gradient-echo' && isSingleExcitation(repetition)) {
    const lines = sidecar.positive('AcquisitionMatrixPE');
    const partitions = sidecar.positive('PhaseEncodingStepsOutOfPlane');
    if (lines === undefined || partitions === undefined) return {};
    const why = `RepetitionTime x ${lines} lines x ${partitions} partitions / in-plane acceleration`;
    const duration = (repetition * lines * partitions) / sidecar.acceleration;
    return { Duration: derived(Number(duration.toPrecision(6)), why) };
  }
  const duration = sidecar.positive('AcquisitionDuration');
  // The specification means one volume by it, converters the whole scan.
  if (duration === undefined || duration < WHOLE_SCAN_VOLUMES * (repetition ?? 0)) return {};
  return { Duration: given(duration, sidecar.cite('AcquisitionDuration')) };
}
