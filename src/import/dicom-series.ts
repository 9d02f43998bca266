/**
 * DICOM files gathered into series and their parts: images of one echo time that show the magnitude, or
 * the phase, and so on. One header stands for the series; of all others only what differs is kept.
 *
 * @module
 */
import type { DicomFrame, DicomHeader } from '../formats/dicom/read-header.js';
import type { TagValues } from '../formats/dicom/tag-values.js';

/** What an image shows of the complex signal. */
export type Component = 'magnitude' | 'phase' | 'real' | 'imaginary';

/** What is kept of every image. */
export interface DicomImage {
  /** Where its slice lies: equal for equal slices; undefined when it is not told. */
  readonly position: number | undefined;
  /** s/mm2. */
  readonly bValue: number | undefined;
  readonly timeOfDaySeconds: number | undefined;
  /** From the trigger of the volume, in s. */
  readonly sinceTriggerSeconds: number | undefined;
  /** Orders the images of a slice. */
  readonly number: number;
}

export interface SeriesPart {
  readonly component: Component;
  /** In s. */
  readonly echoTimeSeconds: number | undefined;
  readonly images: readonly DicomImage[];
}

export interface DicomSeries {
  /** The first of its files. */
  readonly header: DicomHeader;
  readonly parts: readonly SeriesPart[];
  readonly fileCount: number;
}

interface GrowingSeries {
  readonly header: DicomHeader;
  readonly parts: Map<string, SeriesPart & { readonly images: DicomImage[] }>;
  readonly instances: Set<string>;
  fileCount: number;
}

/** Words of ImageType by what the image shows. */
const COMPONENT_WORDS: readonly (readonly [RegExp, Component])[] = [
  [/^(P|PHASE|PHASE MAP)$/, 'phase'],
  [/^(R|REAL)$/, 'real'],
  [/^(I|IMAGINARY)$/, 'imaginary'],
];

/** GE's numbers for them, (0043,xx2f); 0 is the magnitude. */
const GE_COMPONENTS: readonly Component[] = ['magnitude', 'phase', 'real', 'imaginary'];

/** Positions are equal when they are within this, in mm. */
const SAME_POSITION_MM = 0.05;

const MS = 1e-3;

/** Gathers headers, one at a time, in any order. */
export class DicomCollection {
  private readonly bySeries = new Map<string, GrowingSeries>();

  /** Whether a file of this series was added. */
  has(series: string): boolean {
    return this.bySeries.has(series);
  }

  /** Adds a file; copies of one that is there count once. */
  add(header: DicomHeader): void {
    const series = this.seriesOf(header);
    const { instance } = header;
    if (instance !== '' && series.instances.has(instance)) return;
    series.instances.add(instance);
    const number = header.values.number('InstanceNumber') ?? series.fileCount;
    series.fileCount++;
    if (header.frames.length === 0) addImage(series, header, undefined, number);
    for (const [i, frame] of header.frames.entries()) {
      addImage(series, header, frame, number + i / header.frames.length);
    }
  }

  /** In the order of their numbers; those without one last, as they came. */
  get series(): readonly DicomSeries[] {
    const numberOf = ({ header }: DicomSeries): number =>
      header.values.number('SeriesNumber') ?? Infinity;
    return [...this.bySeries.values()]
      .map(({ header, parts, fileCount }) => ({ header, parts: [...parts.values()], fileCount }))
      .sort((a, b) => (numberOf(a) === numberOf(b) ? 0 : numberOf(a) - numberOf(b)));
  }

  private seriesOf(header: DicomHeader): GrowingSeries {
    const there = this.bySeries.get(header.series);
    if (there !== undefined) return there;
    const made = { header, parts: new Map(), instances: new Set<string>(), fileCount: 0 };
    this.bySeries.set(header.series, made);
    return made;
  }
}

function addImage(
  series: GrowingSeries,
  header: DicomHeader,
  frame: DicomFrame | undefined,
  number: number,
): void {
  const component = componentOf(frame?.values, header.values);
  const echoTimeSeconds = echoTimeOf(frame?.values) ?? echoTimeOf(header.values);
  const key = `${component} ${echoTimeSeconds?.toFixed(6) ?? ''}`;
  let part = series.parts.get(key);
  if (part === undefined) {
    part = { component, echoTimeSeconds, images: [] };
    series.parts.set(key, part);
  }
  part.images.push({
    position: positionOf(frame?.values ?? header.values, header.values),
    bValue: bValueOf(frame?.values) ?? bValueOf(header.values),
    timeOfDaySeconds: frame?.timeOfDaySeconds ?? header.timeOfDaySeconds,
    sinceTriggerSeconds: scaled(header.values.number('TriggerTime'), MS),
    number,
  });
}

function componentOf(frame: TagValues | undefined, file: TagValues): Component {
  const words = [...(frame?.texts('FrameType') ?? []), ...file.texts('ImageType')];
  for (const word of words) {
    const found = COMPONENT_WORDS.find(([pattern]) => pattern.test(word));
    if (found !== undefined) return found[1];
    if (word === 'M' || word === 'MAGNITUDE') return 'magnitude';
  }
  return GE_COMPONENTS[file.number('GEImageType') ?? 0] ?? 'magnitude';
}

const echoTimeOf = (values: TagValues | undefined): number | undefined =>
  scaled(values?.positive('EffectiveEchoTime') ?? values?.positive('EchoTime'), MS);

/** GE adds 10^9 to the b-value of some sequences. */
const GE_B_VALUE_MODULUS = 100_000;

function bValueOf(values: TagValues | undefined): number | undefined {
  const ge = values?.number('GEDiffusion');
  const bValue =
    values?.number('DiffusionBValue') ??
    values?.number('SiemensBValue') ??
    values?.number('PhilipsBFactor') ??
    values?.number('UIHBValue') ??
    (ge === undefined ? undefined : ge % GE_B_VALUE_MODULUS);
  return bValue !== undefined && bValue >= 0 ? bValue : undefined;
}

/** Along the normal of the slices, in steps of what counts as equal. */
function positionOf(image: TagValues, file: TagValues): number | undefined {
  const position = image.numbers('ImagePositionPatient');
  const cosines = file.numbers('ImageOrientationPatient');
  if (position.length === 3 && cosines.length === 6) {
    const [rx, ry, rz, cx, cy, cz] = cosines as [number, number, number, number, number, number];
    const normal = [ry * cz - rz * cy, rz * cx - rx * cz, rx * cy - ry * cx];
    const along = normal.reduce((sum, part, i) => sum + part * position[i]!, 0);
    return Math.round(along / SAME_POSITION_MM);
  }
  return image.number('InStackPositionNumber');
}

const scaled = (value: number | undefined, factor: number): number | undefined =>
  value === undefined ? undefined : Number((value * factor).toPrecision(12));
