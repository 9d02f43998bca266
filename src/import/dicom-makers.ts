/**
 * What each maker writes in its own way: private elements, and public ones that mean something else.
 *
 * The elements and their meanings are facts of open files with known protocols; echo spacings come from
 * the rules of `echo-spacing.ts`.
 *
 * @module
 */
import type { DicomHeader } from '../formats/dicom/read-header.js';
import type { SidecarDraft } from './dicom-draft.js';
import type { Maker } from './sidecar.js';

const US = 1e-6;
const MS = 1e-3;

/** Siemens' codes of partial Fourier in the protocol text. */
const PARTIAL_FOURIER: Readonly<Record<number, number>> = {
  16: 1,
  8: 7 / 8,
  4: 6 / 8,
  2: 5 / 8,
  1: 4 / 8,
};

/** Siemens' codes for no parallel imaging, and for a 3D scan. */
const NO_PARALLEL_IMAGING = 1;
const DIMENSION_3D = 4;

/** Adds what the maker's elements tell to what the public ones told. */
export function addMakersValues(maker: Maker, header: DicomHeader, draft: SidecarDraft): void {
  if (maker === 'siemens') addSiemens(header, draft);
  else if (maker === 'ge') addGe(header, draft);
  else if (maker === 'philips') addPhilips(header, draft);
  else if (maker === 'uih') addUih(header, draft);
}

function addSiemens(
  { values, protocol, multibandOfComment }: DicomHeader,
  draft: SidecarDraft,
): void {
  const setting = (key: string): number | undefined => {
    const value = protocol.get(key);
    return typeof value === 'number' ? value : undefined;
  };
  const fromText = (name: string, key: string, factor?: number): void => {
    draft.setNumber(name, setting(key), placeInText(key), factor);
  };

  for (const name of ['BandwidthPerPixelPhaseEncode', 'BandwidthPerPixelPhaseEncodeXA'] as const) {
    draft.setNumber('BandwidthPerPixelPhaseEncode', values.number(name), values.at(name));
  }
  fromText('VendorReportedEchoSpacing', 'sFastImaging.lEchoSpacing', US);
  fromText('BaseResolution', 'sKSpace.lBaseResolution');
  fromText('PhaseOversampling', 'sKSpace.dPhaseOversamplingForDialog');
  fromText('AcquisitionDuration', 'lTotalScanTimeSec');
  const partial = 'sKSpace.ucPhasePartialFourier';
  draft.set('PartialFourier', PARTIAL_FOURIER[setting(partial) ?? 0], placeInText(partial));
  if (setting('sKSpace.ucDimension') === DIMENSION_3D) {
    fromText('PhaseEncodingStepsOutOfPlane', 'sKSpace.lPartitions');
  }

  const acceleration = /\bp(\d+)/.exec(values.text('PATModeText'))?.[1];
  if (acceleration !== undefined) {
    const place = values.at('PATModeText');
    draft.set('ParallelReductionFactorInPlane', Number(acceleration), place);
  }
  if (setting('sPat.ucPATMode') === NO_PARALLEL_IMAGING) {
    draft.set('ParallelReductionFactorInPlane', 1, placeInText('sPat.ucPATMode'));
  } else fromText('ParallelReductionFactorInPlane', 'sPat.lAccelFactPE');

  draft.set('MultibandAccelerationFactor', multibandOfComment, 'comment of the image');
  const multiband = 'sSliceAcceleration.lMultiBandFactor';
  // Sequences of other people leave 1 there, whatever they play.
  if ((setting(multiband) ?? 0) > 1) fromText('MultibandAccelerationFactor', multiband);

  const sequence = protocol.get('tSequenceFileName');
  if (typeof sequence === 'string') {
    draft.set('PulseSequenceDetails', sequence, placeInText('tSequenceFileName'));
  }
}

const placeInText = (key: string): string => `protocol text, ${key}`;

function addGe({ values }: DicomHeader, draft: SidecarDraft): void {
  const spacingUs = values.positive('GEEffectiveEchoSpacing');
  if (spacingUs !== undefined) {
    // The element is that of all shots together.
    const shots = Math.max(1, values.number('GENumberOfShots') ?? 1);
    const place = values.at('GEEffectiveEchoSpacing');
    draft.set(
      'EchoSpacingMicroSecondsGE',
      spacingUs * shots,
      shots > 1 ? `${place} x ${shots} shots` : place,
    );
  }
  const name = values.text('GEPulseSequenceName');
  draft.set('PulseSequenceName', name, values.at('GEPulseSequenceName'));
  const internal = values.text('GEInternalPulseSequenceName');
  draft.set('InternalPulseSequenceName', internal, values.at('GEInternalPulseSequenceName'));
  const share = values.positive('GEAssetRFactors');
  if (share !== undefined && share <= 1) {
    const place = `1 / ${values.at('GEAssetRFactors')}`;
    draft.setNumber('ParallelReductionFactorInPlane', 1 / share, place);
  }
  const multiband = Number(values.text('GEMultiband'));
  if (multiband > 1) {
    draft.set('MultibandAccelerationFactor', multiband, values.at('GEMultiband'));
  }
  const durationUs = values.number('GEAcquisitionDuration');
  draft.setNumber('AcquisitionDuration', durationUs, values.at('GEAcquisitionDuration'), US);
}

function addPhilips({ values }: DicomHeader, draft: SidecarDraft): void {
  const shift = values.number('PhilipsWaterFatShift');
  draft.setNumber('WaterFatShift', shift, values.at('PhilipsWaterFatShift'));
  const technique = values.text('PhilipsTechnique');
  draft.set('PulseSequenceName', technique, values.at('PhilipsTechnique'));
  // The length of the train counts the echoes of all echo times; the EPI factor does not.
  const factor = values.positive('PhilipsEPIFactor');
  if (factor !== undefined && factor > 1) {
    draft.set('EchoTrainLength', factor, values.at('PhilipsEPIFactor'));
  }
  const isInversion = values.text('PhilipsPrepulseType').includes('INV');
  if (isInversion && !draft.has('InversionTime')) {
    const delayMs = values.number('PhilipsPrepulseDelay');
    draft.setNumber('InversionTime', delayMs, values.at('PhilipsPrepulseDelay'), MS);
  }
}

function addUih({ values, frames }: DicomHeader, draft: SidecarDraft): void {
  const name = values.text('UIHPulseSequenceName');
  draft.set('PulseSequenceName', name, values.at('UIHPulseSequenceName'));
  const acceleration = /\bF:(\d+(?:\.\d+)?)/.exec(values.text('UIHParallelInformation'))?.[1];
  if (acceleration !== undefined) {
    const place = values.at('UIHParallelInformation');
    draft.set('ParallelReductionFactorInPlane', Number(acceleration), place);
  }
  // What the standard means to be the length of the scan in s is here that of a readout in ms.
  draft.drop('AcquisitionDuration');
  const readoutMs = (frames[0]?.values ?? values).number('AcquisitionDuration');
  draft.setNumber('TotalReadoutTime', readoutMs, values.at('AcquisitionDuration'), MS);
}
