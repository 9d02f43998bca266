/**
 * A part of a DICOM series in the form of a sidecar, with BIDS names and units, so that everything that
 * is known about sidecars holds for DICOM, too. Each value carries the element it is from.
 *
 * @module
 */
import type { DicomHeader } from '../formats/dicom/read-header.js';
import type { TagName } from '../formats/dicom/tags.js';
import { type DicomCounts, slicesInImage } from './dicom-counts.js';
import { SidecarDraft } from './dicom-draft.js';
import { addMakersValues } from './dicom-makers.js';
import type { DicomSeries, SeriesPart } from './dicom-series.js';
import type { ImageSize } from './sidecar-geometry.js';
import { type Maker, Sidecar } from './sidecar.js';

export interface DicomSidecar {
  readonly json: Readonly<Record<string, unknown>>;
  /** Element of each value, for people. */
  readonly places: Readonly<Record<string, string>>;
  readonly image: ImageSize | undefined;
}

/** How makers are called, whatever they write. */
const MAKER_NAMES: Readonly<Record<Exclude<Maker, 'other'>, string>> = {
  siemens: 'Siemens',
  ge: 'GE',
  philips: 'Philips',
  uih: 'UIH',
  canon: 'Canon',
};

/** Texts under the same name, several of them joined as in DICOM. */
const TEXTS: readonly (readonly [string, TagName])[] = [
  ['ManufacturersModelName', 'ManufacturerModelName'],
  ['MRAcquisitionType', 'MRAcquisitionType'],
  ['SequenceName', 'SequenceName'],
  ['SequenceVariant', 'SequenceVariant'],
  ['ScanOptions', 'ScanOptions'],
  ['PulseSequenceName', 'PulseSequenceName'],
  ['ParallelAcquisitionTechnique', 'ParallelAcquisitionTechnique'],
  ['SeriesDescription', 'SeriesDescription'],
  ['ProtocolName', 'ProtocolName'],
];

const MS = 1e-3;

/** Numbers, the element, and what makes BIDS units of it. */
const NUMBERS: readonly (readonly [string, TagName, number?])[] = [
  ['SeriesNumber', 'SeriesNumber'],
  ['MagneticFieldStrength', 'MagneticFieldStrength'],
  ['RepetitionTime', 'RepetitionTime', MS],
  ['InversionTime', 'InversionTime', MS],
  ['SliceThickness', 'SliceThickness'],
  ['SpacingBetweenSlices', 'SpacingBetweenSlices'],
  ['EchoTrainLength', 'EchoTrainLength'],
  ['PixelBandwidth', 'PixelBandwidth'],
  ['ParallelReductionFactorInPlane', 'ParallelReductionFactorInPlane'],
  ['ParallelReductionFactorOutOfPlane', 'ParallelReductionFactorOutOfPlane'],
  ['PhaseEncodingStepsOutOfPlane', 'MRAcquisitionPhaseEncodingStepsOutOfPlane'],
  ['AcquisitionDuration', 'AcquisitionDuration'],
  ['LabelingDuration', 'ASLPulseTrainDuration', MS],
];

/** Kinds of arterial spin labelling, by the words of PS3.3, table C.8-149, and of BIDS. */
const LABELLING: Readonly<Record<string, string>> = {
  PSEUDOCONTINUOUS: 'PCASL',
  CONTINUOUS: 'CASL',
  PULSED: 'PASL',
};

/** SOP class of MR spectroscopy (PS3.4, table B.5-1). */
const SPECTROSCOPY = '1.2.840.10008.5.1.4.1.1.4.2';

/** Frequencies above this are in Hz, though the standard wants MHz. */
const MAX_MEGAHERTZ = 10_000;

/** The sidecar of a part. */
export function sidecarOfDicom(
  { header }: DicomSeries,
  part: SeriesPart,
  counts: DicomCounts,
): DicomSidecar {
  const { values } = header;
  const draft = new SidecarDraft();
  const maker = makerOf(header);
  const name = maker === 'other' ? values.text('Manufacturer') : MAKER_NAMES[maker];
  draft.set('Manufacturer', name, values.at('Manufacturer'));
  for (const [key, tag] of TEXTS) draft.set(key, values.texts(tag).join('\\'), values.at(tag));
  for (const [key, tag, factor] of NUMBERS) {
    draft.setNumber(key, values.number(tag), values.at(tag), factor);
  }
  // One is what scanners write that do not count them.
  if (values.number('EchoTrainLength') === 1) draft.drop('EchoTrainLength');
  addSequence(draft, header, counts);
  addFrequency(draft, header);
  addMatrix(draft, header);
  const echo = values.has('EffectiveEchoTime') ? 'EffectiveEchoTime' : 'EchoTime';
  const cosines = values.numbers('ImageOrientationPatient');
  const place = values.at('ImageOrientationPatient');
  draft.set('ImageOrientationPatientDICOM', cosines, place);
  draft.setNumber('EchoTime', part.echoTimeSeconds, values.at(echo));
  if (!draft.has('InversionTime')) {
    const inversion = values.number('InversionTimes');
    draft.setNumber('InversionTime', inversion, values.at('InversionTimes'), MS);
  }
  draft.set('SliceTiming', counts.sliceTimesSeconds, placeOfSliceTimes(header));
  addMakersValues(maker, header, draft);
  return { json: draft.json, places: draft.places, image: imageOf(header, counts) };
}

/** Whose scanner made the file. */
export const makerOf = ({ values }: DicomHeader): Maker =>
  new Sidecar({ Manufacturer: values.text('Manufacturer') }).maker;

/** What kind of sequence it is, in the words that classic files have for it. */
function addSequence(draft: SidecarDraft, { values }: DicomHeader, counts: DicomCounts): void {
  const echo = values.text('EchoPulseSequence');
  const words = new Set([
    ...values.texts('ScanningSequence'),
    ...values.texts('SiemensScanningSequence'),
    ...(echo === 'SPIN' || echo === 'BOTH' ? ['SE'] : []),
    ...(echo === 'GRADIENT' || echo === 'BOTH' ? ['GR'] : []),
    // One maker says EP alone, and the rest in the name: epse, epfid.
    ...(/^\*?epse/.test(values.text('SequenceName')) ? ['SE'] : []),
    ...(values.text('EchoPlanarPulseSequence') === 'YES' ? ['EP'] : []),
    ...(values.text('InversionRecovery') === 'YES' ? ['IR'] : []),
  ]);
  draft.set('ScanningSequence', [...words].join('\\'), values.at('ScanningSequence'));
  const image = [
    ...values.texts('ImageType'),
    ...values.texts('FrameType'),
    ...values.texts('ImageTypeText'),
    ...(counts.isDiffusion ? ['DIFFUSION'] : []),
  ];
  draft.set('ImageType', image, values.at('ImageType'));
  const path = values.text('GeometryOfKSpaceTraversal').toLowerCase();
  draft.set('PulseSequenceDetails', path, values.at('GeometryOfKSpaceTraversal'));
  if (values.texts('ScanOptions').length === 0) {
    const options = [...values.texts('SiemensScanOptions')];
    if (options.length === 0 && values.text('SpectrallySelectedSuppression') === 'FAT') {
      options.push('FS');
    }
    draft.set('ScanOptions', options.join('\\'), values.at('SpectrallySelectedSuppression'));
  }
  const labelling = LABELLING[values.text('ASLContrast')];
  draft.set('ArterialSpinLabelingType', labelling, values.at('ASLContrast'));
  if (values.text('SOPClassUID') === SPECTROSCOPY) {
    draft.set('BidsGuess', ['mrs', '_svs'], values.at('SOPClassUID'));
  }
}

function addFrequency(draft: SidecarDraft, { values }: DicomHeader): void {
  const frequency = values.number('ImagingFrequency');
  const factor = (frequency ?? 0) > MAX_MEGAHERTZ ? 1e-6 : 1;
  draft.setNumber('ImagingFrequency', frequency, values.at('ImagingFrequency'), factor);
}

/** Lines and samples as acquired, lines as reconstructed, and along which axis lines lie. */
function addMatrix(draft: SidecarDraft, header: DicomHeader): void {
  const { values } = header;
  const direction = phaseDirection(header);
  draft.set(
    'InPlanePhaseEncodingDirectionDICOM',
    direction,
    values.at('InPlanePhaseEncodingDirection'),
  );
  // Rows and columns along frequency, then along phase; the ones that do not apply are zero.
  const [rows = 0, columns = 0, phaseRows = 0, phaseColumns = 0] =
    values.numbers('AcquisitionMatrix');
  const samples = values.positive('MRAcquisitionFrequencyEncodingSteps');
  const lines = values.positive('MRAcquisitionPhaseEncodingStepsInPlane');
  const matrix = values.at('AcquisitionMatrix');
  if (rows + columns > 0) draft.set('FrequencyEncodingSteps', rows || columns, matrix);
  else {
    draft.set('FrequencyEncodingSteps', samples, values.at('MRAcquisitionFrequencyEncodingSteps'));
  }
  if (phaseRows + phaseColumns > 0)
    draft.set('AcquisitionMatrixPE', phaseRows || phaseColumns, matrix);
  else {
    draft.set('AcquisitionMatrixPE', lines, values.at('MRAcquisitionPhaseEncodingStepsInPlane'));
  }
  const size = tileOf(header);
  if (size === undefined || direction === undefined) return;
  const [columnsOfSlice, rowsOfSlice] = size;
  const isAlongColumns = direction === 'COL';
  const place = values.at(isAlongColumns ? 'Rows' : 'Columns');
  draft.set('ReconMatrixPE', isAlongColumns ? rowsOfSlice : columnsOfSlice, place);
}

function phaseDirection({ values }: DicomHeader): 'ROW' | 'COL' | undefined {
  const direction = values.text('InPlanePhaseEncodingDirection');
  if (direction.startsWith('COL')) return 'COL';
  return direction === 'ROW' ? 'ROW' : undefined;
}

/** Columns and rows of one slice: slices may lie side by side in an image. */
function tileOf({ values }: DicomHeader): readonly [number, number] | undefined {
  const columns = values.positive('Columns');
  const rows = values.positive('Rows');
  if (columns === undefined || rows === undefined) return undefined;
  const slices = slicesInImage(values);
  const across = Math.ceil(Math.sqrt(slices));
  const isSquare = values.has('NumberOfImagesInMosaic');
  const down = isSquare ? across : Math.ceil(slices / across);
  return [Math.round(columns / across), Math.round(rows / down)];
}

function imageOf(header: DicomHeader, { slices, volumes }: DicomCounts): ImageSize | undefined {
  const { values } = header;
  const size = tileOf(header);
  const [betweenRows, betweenColumns] = values.numbers('PixelSpacing');
  const apart = values.positive('SpacingBetweenSlices') ?? values.positive('SliceThickness');
  if (size === undefined || slices === undefined || !betweenRows || !betweenColumns)
    return undefined;
  return {
    size: [...size, slices.value],
    voxelMm: [betweenColumns, betweenRows, apart ?? 1],
    volumes: volumes?.value,
    why: { slices: slices.why, volumes: volumes?.why ?? '' },
  };
}

/** Where the times of slices come from, for people. */
function placeOfSliceTimes({ values }: DicomHeader): string {
  const mosaic = values.at('MosaicRefAcqTimes');
  return mosaic === '' ? 'times of the slices' : mosaic;
}
