/**
 * How many slices and volumes a part of a DICOM series has, when its slices are excited, and its
 * b-values: from what the header states, and from counting images where all of them are there.
 *
 * @module
 */
import type { DicomHeader } from '../formats/dicom/read-header.js';
import type { TagValues } from '../formats/dicom/tag-values.js';
import type { DicomImage, SeriesPart } from './dicom-series.js';
import type { Maker } from './sidecar.js';

/** A number and the words for where it is from. */
interface Counted {
  readonly value: number;
  readonly why: string;
}

export interface DicomCounts {
  readonly slices: Counted | undefined;
  readonly volumes: Counted | undefined;
  /** Of every volume, in s/mm2; undefined without diffusion weighting, or when it is not known for all. */
  readonly bValues: readonly number[] | undefined;
  /** Whether an image, or the protocol, has diffusion weighting. */
  readonly isDiffusion: boolean;
  /** Of every slice from the start of the volume, in s; undefined when it is not told. */
  readonly sliceTimesSeconds: readonly number[] | undefined;
}

/** b-values up to this, in s/mm2, are no weighting: scanners write 1 or 5 for none. */
const UNWEIGHTED = 50;

/** Siemens' code for a 3D scan in the protocol text. */
const DIMENSION_3D = 4;

const MS = 1e-3;

/** Counts a part. */
export function countDicom(header: DicomHeader, part: SeriesPart, maker: Maker): DicomCounts {
  const { images } = part;
  const stated = statedSlices(header);
  const isMosaic = slicesInImage(header.values) > 1 && header.frames.length === 0;
  const positions = new Set(images.map(({ position }) => position));
  positions.delete(undefined);
  // One image says nothing about how many there are; mosaics move with the head from volume to volume.
  const counted =
    positions.size > 1 && !isMosaic
      ? { value: positions.size, why: 'slice positions in the files' }
      : undefined;
  const slices = stated !== undefined && stated.value >= (counted?.value ?? 0) ? stated : counted;
  const isWhole = isMosaic || (counted !== undefined && counted.value === slices?.value);
  const perSlice = isMosaic ? images : oneSlice(images);
  const bValues = readBValues(header, isWhole ? perSlice : undefined);
  return {
    slices,
    volumes: countVolumes(header, isWhole ? perSlice.length : undefined),
    bValues,
    isDiffusion:
      images.some(({ bValue }) => (bValue ?? 0) > UNWEIGHTED) ||
      (bValues ?? []).some(b => b > UNWEIGHTED),
    sliceTimesSeconds: readSliceTimes(header, images, maker, isWhole),
  };
}

/** Slices that lie side by side in one image. */
export function slicesInImage(values: TagValues): number {
  const siemens = values.positive('NumberOfImagesInMosaic') ?? 1;
  if (values.texts('ImageType').includes('MOSAIC')) return siemens;
  return values.texts('ImageType').includes('VFRAME')
    ? (values.positive('UIHNumberOfSlices') ?? 1)
    : 1;
}

function statedSlices({ values, protocol }: DicomHeader): Counted | undefined {
  const inImage = slicesInImage(values);
  if (inImage > 1) return { value: inImage, why: 'slices side by side in the image' };
  for (const name of ['GELocationsInAcquisition', 'PhilipsNumberOfSlices'] as const) {
    const value = values.positive(name);
    if (value !== undefined && value > 1) {
      return { value, why: `number of slices in the DICOM header, ${values.at(name)}` };
    }
  }
  const key =
    protocol.get('sKSpace.ucDimension') === DIMENSION_3D
      ? 'sKSpace.lImagesPerSlab'
      : 'sSliceArray.lSize';
  const value = protocol.get(key);
  if (typeof value !== 'number' || value < 1) return undefined;
  return { value, why: `${key} in the protocol text of the DICOM header` };
}

/** The images of the slice that has most of them, in their order. */
function oneSlice(images: readonly DicomImage[]): readonly DicomImage[] {
  const byPosition = new Map<number | undefined, DicomImage[]>();
  let most: DicomImage[] = [];
  for (const image of images) {
    const group = byPosition.get(image.position) ?? [];
    group.push(image);
    byPosition.set(image.position, group);
    if (group.length > most.length) most = group;
  }
  return most.toSorted((a, b) => a.number - b.number);
}

/** Volumes: what the header plans, unless there are more. */
function countVolumes(
  { values, protocol }: DicomHeader,
  counted: number | undefined,
): Counted | undefined {
  const repetitions = protocol.get('lRepetitions');
  const candidates: Counted[] = [];
  // A single volume may be one of many whose files were not given.
  if ((counted ?? 0) > 1) candidates.push({ value: counted!, why: 'volumes in the files' });
  // Directions of a diffusion scan are no repetitions.
  if (protocol.size > 0 && !protocol.has('sDiffusion.lDiffDirections')) {
    const value = 1 + (typeof repetitions === 'number' ? repetitions : 0);
    candidates.push({ value, why: 'lRepetitions + 1, in the protocol text of the DICOM header' });
  }
  for (const name of ['NumberOfTemporalPositions', 'PhilipsNumberOfDynamicScans'] as const) {
    const value = values.positive(name);
    const why = `number of volumes in the DICOM header, ${values.at(name)}`;
    if (value !== undefined) candidates.push({ value, why });
  }
  if (candidates.length === 0) return undefined;
  return candidates.reduce((most, one) => (one.value > most.value ? one : most));
}

/** b-values of the volumes that are there, or of all that the protocol text plans, if those are more. */
function readBValues(
  { protocol }: DicomHeader,
  volumes: readonly DicomImage[] | undefined,
): readonly number[] | undefined {
  const isTold = volumes?.some(({ bValue }) => bValue !== undefined) === true;
  const counted = isTold ? volumes.map(({ bValue }) => bValue ?? 0) : [];
  const planned = plannedBValues(protocol);
  const longer = planned.length > counted.length ? planned : counted;
  return longer.some(b => b > UNWEIGHTED) ? longer : undefined;
}

/** Each weighting of the protocol text: once without, else in every direction. */
function plannedBValues(protocol: DicomHeader['protocol']): readonly number[] {
  const weightings = Number(protocol.get('sDiffusion.lDiffWeightings') ?? 0);
  const directions = Number(protocol.get('sDiffusion.lDiffDirections') ?? 0);
  if (weightings < 1 || weightings > 16 || directions < 1 || directions > 1000) return [];
  return Array.from({ length: weightings }, (_, i) => {
    const b = Number(protocol.get(`sDiffusion.alBValue[${i}]`) ?? 0);
    return b <= UNWEIGHTED ? [0] : Array.from({ length: directions }, () => b);
  }).flat();
}

/** Times of the slices within the first volume, in the order of their positions. */
function readSliceTimes(
  { values, frames }: DicomHeader,
  images: readonly DicomImage[],
  maker: Maker,
  isWhole: boolean,
): readonly number[] | undefined {
  const mosaic = values.numbers('MosaicRefAcqTimes');
  if (mosaic.length > 1 && mosaic.length === slicesInImage(values)) {
    return fromEarliest(mosaic.map(time => time * MS));
  }
  if (!isWhole) return undefined;
  const isEnhanced = frames.length > 0;
  const first = firstVolume(images);
  if (maker === 'ge') return fromEarliest(first.map(i => i.sinceTriggerSeconds));
  // Only these makers write when each slice was excited, and not when its series or volume was.
  const isOfSlices = maker === 'siemens' || maker === 'uih' || (maker === 'other' && isEnhanced);
  return isOfSlices ? fromEarliest(first.map(i => i.timeOfDaySeconds)) : undefined;
}

/** The first image of every slice, in the order of their positions. */
function firstVolume(images: readonly DicomImage[]): readonly DicomImage[] {
  const first = new Map<number, DicomImage>();
  for (const image of images) {
    if (image.position === undefined) continue;
    const there = first.get(image.position);
    if (there === undefined || image.number < there.number) first.set(image.position, image);
  }
  return [...first].sort(([a], [b]) => a - b).map(([, image]) => image);
}

/** Undefined when a time is missing, or all are the same: then they are not those of slices. */
function fromEarliest(times: readonly (number | undefined)[]): readonly number[] | undefined {
  const known = times.filter(time => time !== undefined);
  if (known.length < times.length || known.length < 2) return undefined;
  const earliest = Math.min(...known);
  if (known.every(time => time === earliest)) return undefined;
  return known.map(time => Number((time - earliest).toFixed(6)));
}
