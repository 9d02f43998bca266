/**
 * Which sequence family a sidecar describes, or why it is none that can be sounded.
 *
 * A table of rules, read from top to bottom; the first that fits decides. To add a family, put rows
 * where they come before the more general ones.
 *
 * @module
 */
import type { BidsName } from './bids-name.js';
import type { ScanType } from '../protocol/scan.js';
import { Evidence, EXCITATION_TR_SECONDS } from './scan-evidence.js';
import type { Sidecar } from './sidecar.js';

export type Recognition =
  | {
      readonly type: ScanType;
      readonly note?: string;
      /** Two readout trains after each inversion, of which a sidecar describes one. */
      readonly twoTrains?: true;
    }
  | { readonly skip: string };

interface Row {
  readonly when: (evidence: Evidence) => boolean;
  readonly then: Recognition;
}

const UNKNOWN_DIMENSION: Recognition = {
  skip: 'its files do not say whether it is 2D or 3D: add MRAcquisitionType to the sidecar',
};

const soon = (what: string): Recognition => ({ skip: `${what} is not among the scan types yet` });

/** A spoiled gradient echo, 2D or 3D by what the sidecar says, or by how short its repetition is. */
const gradientEcho = (when: Row['when'], note?: string): readonly Row[] => {
  const noted = note === undefined ? {} : { note };
  return [
    { when: e => when(e) && e.is2d, then: { type: 'gradient-echo-2d', ...noted } },
    { when: e => when(e) && e.is3d, then: { type: 'gradient-echo-3d', ...noted } },
    {
      when: e => when(e) && e.repetitionSeconds < EXCITATION_TR_SECONDS,
      then: {
        type: 'gradient-echo-3d',
        note: 'Taken for a 3D scan because its repetition time is short; the files do not say.',
      },
    },
    { when, then: UNKNOWN_DIMENSION },
  ];
};

/** A spin echo; without an inversion time its inversion cannot be placed. */
const spinEcho = (type: ScanType, when: Row['when']): readonly Row[] => [
  {
    when: e => when(e) && e.inverts && !(e.has('InversionTime') && type !== 'spin-echo-2d'),
    then: { type, note: 'The inversion pulse of this scan is not sounded, only its echoes.' },
  },
  { when, then: { type } },
];

/** Suffixes of maps that are computed, not scanned. */
const MAPS = [
  ...['UNIT1', 'T1map', 'T2map', 'T2starmap', 'R1map', 'R2map', 'R2starmap', 'PDmap', 'MTRmap'],
  ...[
    'MTsat',
    'TB1map',
    'RB1map',
    'S0map',
    'M0map',
    'Chimap',
    'ADC',
    'FA',
    'colFA',
    'expADC',
    'trace',
  ],
];

const TABLE: readonly Row[] = [
  {
    when: e =>
      e.isSuffix(...MAPS) ||
      e.images('ADC', 'FA', 'TRACEW', 'COLFA', 'TENSOR', 'CBF', 'TTP', 'MPR') ||
      (e.images('DERIVED') && !e.isNamed),
    then: { skip: 'a map computed from other scans, which makes no sound of its own' },
  },
  {
    when: e => e.isSuffix('mrsi', 'unloc') || e.called(/(^|[^a-z])(csi|mrsi|epsi)/),
    then: soon('spectroscopy of other than a single voxel'),
  },
  {
    when: e => e.called(/slaser|semi.?laser/),
    then: { type: 'spectroscopy', note: 'Sounded with three selective pulses, not with its five.' },
  },
  {
    when: e =>
      e.isSuffix('svs', 'mrsref') ||
      e.datatype === 'mrs' ||
      e.called(/(^|[^a-z])(svs|press|steam)/),
    then: { type: 'spectroscopy' },
  },
  {
    when: e => e.isSuffix('MP2RAGE') || e.named(/mp2rage/),
    then: { type: 'inversion-gradient-echo-3d', twoTrains: true },
  },
  {
    when: e => e.isSuffix('m0scan'),
    then: soon('the reference scan of arterial spin labelling'),
  },
  {
    when: e => e.isLabelling && (e.named(/spiral/) || e.called(/3dasl/)),
    then: soon('arterial spin labelling with a spiral readout'),
  },
  {
    when: e => e.isLabelling && e.is3d && !e.called(/grase|tgse/),
    then: {
      type: 'arterial-spin-labelling',
      note: 'Its 3D readout is taken for one of gradient and spin echoes; the files do not say.',
    },
  },
  { when: e => e.isLabelling, then: { type: 'arterial-spin-labelling' } },
  { when: e => e.called(/grase|tgse/), then: soon('gradient and spin echo (GRASE)') },
  { when: e => e.named(/spiral/), then: { type: 'spiral' } },
  { when: e => e.named(/qalas|synthetic|mdme/), then: soon('multi-parameter mapping') },
  {
    // A quick 3D scan from which the scanner finds the planes by itself.
    when: e => e.suffix === undefined && e.is3d && e.named(/scout/),
    then: { type: 'gradient-echo-3d' },
  },
  {
    when: e =>
      e.images('LOCALIZER') ||
      (e.suffix === undefined && e.named(/locali[sz]er|scout|survey|3.?plane|smartbrain/)),
    then: { type: 'localiser' },
  },
  { when: e => e.called(/resolve|rs.?epi/), then: soon('a segmented echo-planar readout') },
  {
    when: e => e.is3d && e.isEchoPlanar && e.isSuffix('bold', 'sbref', 'cbv'),
    then: soon('3D echo-planar imaging'),
  },
  {
    when: e => e.isDiffusion && (e.isEchoPlanar || e.suffix !== undefined),
    then: { type: 'diffusion-echo-planar' },
  },
  { when: e => e.isSuffix('epi'), then: { type: 'field-map-echo-planar' } },
  {
    when: e =>
      e.isSuffix('bold', 'cbv', 'sbref', 'phase', 'noRF') && e.scans('SE') && e.scans('EP'),
    then: { type: 'spin-echo-echo-planar' },
  },
  { when: e => e.isSuffix('bold', 'cbv', 'sbref', 'phase', 'noRF'), then: { type: 'echo-planar' } },
  {
    when: e =>
      e.isSuffix(
        'phasediff',
        'phase1',
        'phase2',
        'magnitude',
        'magnitude1',
        'magnitude2',
        'fieldmap',
      ),
    then: { type: 'field-map-gradient-echo' },
  },
  {
    when: e =>
      e.isSuffix('TB1TFL', 'TB1RFM', 'TB1AFI', 'TB1DAM', 'TB1EPI', 'TB1SRGE', 'RB1COR', 'TB1map'),
    then: soon('mapping of the radio field'),
  },
  ...gradientEcho(e =>
    e.isSuffix('MEGRE', 'T2starw', 'T2star', 'swi', 'FLASH', 'VFA', 'MPM', 'MTS', 'MTR', 'MTw'),
  ),
  { when: e => e.isSuffix('MESE', 'IRT1'), then: soon('relaxation mapping') },
  ...gradientEcho(
    e => e.named(/(^|[^a-z])tof/),
    'The pulses of this scan that suppress blood from one side are not sounded.',
  ),
  { when: e => e.isSuffix('angio'), then: soon('angiography other than time-of-flight') },
  {
    when: e => e.called(/trufi|fiesta|b-?ffe|ssfp|(^|[^a-z])(ciss|tfi)/),
    then: { type: 'balanced-steady-state' },
  },
  { when: e => e.called(/(^|[^a-z])(petra|zte)/), then: { type: 'zero-echo-time' } },
  { when: e => e.called(/(^|[^a-z])ute/), then: soon('imaging with ultrashort echo time') },
  { when: e => e.called(/radial/), then: { type: 'radial-gradient-echo' } },
  {
    when: e => e.suffix === undefined && e.isEchoPlanar && e.is3d,
    then: soon('3D echo-planar imaging'),
  },
  {
    when: e => e.suffix === undefined && e.isEchoPlanar && e.scans('SE'),
    then: { type: 'field-map-echo-planar' },
  },
  { when: e => e.suffix === undefined && e.isEchoPlanar, then: { type: 'echo-planar' } },
  {
    when: e =>
      e.suffix === undefined && !e.isTurboSpinEcho && e.named(/(^|[^a-z])fm2d|field.?map|b0.?map/),
    then: { type: 'field-map-gradient-echo' },
  },
  ...spinEcho('turbo-spin-echo-3d', e => e.is3d && e.isTurboSpinEcho),
  ...spinEcho('spin-echo-2d', e => e.is2d && e.isSingleSpinEcho),
  ...spinEcho('turbo-spin-echo-2d', e => e.is2d && e.isTurboSpinEcho),
  { when: e => e.isTurboSpinEcho, then: UNKNOWN_DIMENSION },
  {
    when: e => e.called(/tfl|mprage|tfe|bravo/) || (e.is3d && e.inverts) || e.named(/mp-?rage/),
    then: { type: 'inversion-gradient-echo-3d' },
  },
  {
    // Sidecars of one maker name no inversion: a short TR says that the T1-weighted scan is a 3D gradient echo.
    when: e =>
      e.isSuffix('T1w') && !e.is2d && e.repetitionSeconds < EXCITATION_TR_SECONDS && !e.scans('GR'),
    then: {
      type: 'inversion-gradient-echo-3d',
      note: 'Taken for an inversion-prepared 3D gradient echo because it is T1-weighted and its repetition time is short.',
    },
  },
  ...gradientEcho(e => e.scans('GR') || e.called(/swi|flash|spgr|fl[23]d|gre|ffe/)),
  {
    when: e => e.isSuffix('T1w') && !e.is2d,
    then: {
      type: 'inversion-gradient-echo-3d',
      note: 'Taken for an inversion-prepared 3D gradient echo because it is T1-weighted; the files do not say.',
    },
  },
  {
    when: e => e.isSuffix('T2w', 'FLAIR', 'PDw') && !e.is2d,
    then: UNKNOWN_DIMENSION,
  },
];

/** Recognises the family of a sidecar. */
export function recognise(name: BidsName, sidecar: Sidecar): Recognition {
  const evidence = new Evidence(name, sidecar);
  const row = TABLE.find(({ when }) => when(evidence));
  return row?.then ?? { skip: 'neither its name nor its values say which kind of scan it is' };
}
