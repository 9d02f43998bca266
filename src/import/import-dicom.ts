/**
 * DICOM series as files to import beside sidecars.
 *
 * Nothing of a header that could identify a person or a place goes on: names of series serve to see which
 * belong together, here and in `fold-scans.ts`, and are replaced by numbers.
 *
 * @module
 */
import type { DicomHeader } from '../formats/dicom/read-header.js';
import { countDicom } from './dicom-counts.js';
import type { DicomSeries, SeriesPart } from './dicom-series.js';
import { makerOf, sidecarOfDicom } from './dicom-sidecar.js';
import type { SidecarFile } from './import-sidecars.js';

/** SOP classes of MR images and spectra (PS3.4, table B.5-1). */
const MR_CLASSES: ReadonlySet<string> = new Set(
  ['', '.1', '.2', '.3', '.4'].map(last => `1.2.840.10008.5.1.4.1.1.4${last}`),
);

/** SOP class of the directory of a medium. */
const DIRECTORY = '1.2.840.10008.1.3.10';

/** SOP classes of screenshots begin with this. */
const SECONDARY_CAPTURE = '1.2.840.10008.5.1.4.1.1.7';

/** What people and scanners add to the name of a series that is a part or a repeat of another. */
const ADDED = /([ _-](sbref|ph|pha|phase|mag|magnitude|run[ _-]?\d+|\d{1,2}))+$/;

/** Why the file is no image of an MR scan; undefined when it is one. */
export function whyNoScan({ values, isWhole }: DicomHeader): string | undefined {
  const sopClass = values.text('SOPClassUID') || values.text('MediaStorageSOPClassUID');
  if (sopClass === DIRECTORY) {
    return 'the directory of a DICOM medium: give the folder with the images';
  }
  const modality = values.text('Modality');
  if (modality === '') {
    return isWhole
      ? 'a DICOM file that does not say it is MR: Modality (0008,0060) is missing'
      : 'a DICOM file whose header is cut off or damaged before Modality (0008,0060): copy it again';
  }
  if (modality !== 'MR') {
    const kind = /^[A-Z]{2,4}$/.test(modality) ? modality : 'other';
    return `a DICOM file of another kind than MR: Modality (0008,0060) is ${kind}`;
  }
  if (sopClass.startsWith(SECONDARY_CAPTURE))
    return 'a screenshot or picture, not an image of a scan';
  if (sopClass !== '' && !MR_CLASSES.has(sopClass)) {
    return 'data of the scanner or of a workstation, not an image of a scan: see SOPClassUID (0008,0016)';
  }
  return undefined;
}

/** Series of one or more given paths, ready to import. */
export interface ShownSeries {
  readonly series: DicomSeries;
  /** Where it is, as it is shown to the user. */
  readonly shown: string;
}

/** Every part of every series as a file to import. */
export function filesOfDicom(all: readonly ShownSeries[]): readonly SidecarFile[] {
  const stems = new Map<string, number>();
  const order = seriesOrder(all);
  return all.flatMap(({ series, shown }, i) => {
    const name = nameOf(series.header);
    const key = name.replace(ADDED, '') || `unnamed ${i}`;
    if (!stems.has(key)) stems.set(key, stems.size + 1);
    const reference = name.includes('sbref') ? '_SBRef' : '';
    const stem = `scan${stems.get(key)!}${reference}`;
    const echoes = [...new Set(series.parts.map(({ echoTimeSeconds }) => echoTimeSeconds))].sort(
      (a = 0, b = 0) => a - b,
    );
    return series.parts.map(part => {
      const counts = countDicom(series.header, part, makerOf(series.header));
      const { json, places, image } = sidecarOfDicom(series, part, counts);
      const number = order.get(series);
      return {
        path: `${stem}${suffixOf(part, echoes)}`,
        shown,
        json: number === undefined ? json : { ...json, SeriesNumber: number },
        places,
        image,
        bValues: counts.bValues,
      };
    });
  });
}

/** What the series is called, in lower case. */
const nameOf = ({ values }: DicomHeader): string =>
  (values.text('SeriesDescription') || values.text('ProtocolName')).toLowerCase();

/** As converters add it to the names of second echoes and of phases. */
function suffixOf(
  { component, echoTimeSeconds }: SeriesPart,
  echoes: readonly (number | undefined)[],
): string {
  const echo = echoes.length > 1 ? `_e${echoes.indexOf(echoTimeSeconds) + 1}` : '';
  return `${echo}${component === 'magnitude' ? '' : '_ph'}`;
}

/** Ranks by time of day for series that have no numbers, where all have a time. */
function seriesOrder(all: readonly ShownSeries[]): ReadonlyMap<DicomSeries, number> {
  const series = all.map(one => one.series);
  const isNumbered = series.every(({ header }) => header.values.has('SeriesNumber'));
  const isTimed = series.every(({ header }) => header.timeOfDaySeconds !== undefined);
  if (isNumbered || !isTimed) return new Map();
  const sorted = series.toSorted((a, b) => a.header.timeOfDaySeconds! - b.header.timeOfDaySeconds!);
  return new Map(sorted.map((one, i) => [one, i + 1]));
}
