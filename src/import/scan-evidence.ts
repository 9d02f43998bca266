/**
 * What a file says about its sequence, for the rules of `recognise.ts`.
 *
 * The evidence is the BIDS name where there is one, else what the scanner calls the sequence, else the
 * words of the series. Words are looked at here and go no further.
 *
 * @module
 */
import type { BidsName } from './bids-name.js';
import type { Sidecar } from './sidecar.js';

/** Repetition times below this, in s, are those of single excitations. */
export const EXCITATION_TR_SECONDS = 0.1;

/** How makers call turbo spin echoes. */
const TURBO = /tse|fse|haste|(^|[^a-z])(spc|space|cube|vista|rare)/;

export class Evidence {
  readonly suffix: string | undefined;
  readonly datatype: string | undefined;
  /** Whether the file's name has a BIDS suffix: then somebody has already said what it is. */
  readonly isNamed: boolean;
  /** The scanner's names for the sequence, in lower case. */
  private readonly sequence: string;
  /** The names that people gave the series, in lower case; the file's name where there are none. */
  private readonly series: string;
  private readonly scanning: ReadonlySet<string>;
  private readonly image: ReadonlySet<string>;
  readonly repetitionSeconds: number;
  readonly inverts: boolean;

  constructor(
    name: BidsName,
    private readonly sidecar: Sidecar,
  ) {
    const guess = bidsGuess(sidecar);
    this.isNamed = name.suffix !== undefined;
    this.suffix = name.suffix ?? guess.suffix;
    this.datatype = name.datatype ?? guess.datatype;
    const text = (keys: readonly string[]): string =>
      keys.map(key => sidecar.text(key).toLowerCase()).join(' ');
    this.sequence = text([
      'SequenceName',
      'PulseSequenceName',
      'InternalPulseSequenceName',
      'PulseSequenceDetails',
      'PulseSequenceType',
    ]);
    const series = text(['SeriesDescription', 'ProtocolName']).trim();
    this.series = series === '' ? name.stem.split('/').at(-1)!.toLowerCase() : series;
    this.scanning = sidecar.words('ScanningSequence');
    this.image = new Set([...sidecar.words('ImageType'), ...sidecar.words('ImageTypeText')]);
    this.repetitionSeconds = sidecar.positive('RepetitionTime') ?? Infinity;
    this.inverts =
      this.scanning.has('IR') ||
      sidecar.positive('InversionTime') !== undefined ||
      sidecar.words('ScanOptions').has('IR');
  }

  isSuffix(...suffixes: readonly string[]): boolean {
    return this.suffix !== undefined && suffixes.includes(this.suffix);
  }

  /** Whether the scanner's names hold a pattern. */
  called(pattern: RegExp): boolean {
    return pattern.test(this.sequence);
  }

  /** Whether the scanner's or the people's names hold a pattern. */
  named(pattern: RegExp): boolean {
    return pattern.test(this.sequence) || pattern.test(this.series);
  }

  scans(code: 'EP' | 'SE' | 'GR' | 'RM'): boolean {
    return this.scanning.has(code);
  }

  images(...words: readonly string[]): boolean {
    return words.some(word => this.image.has(word));
  }

  has(key: string): boolean {
    return this.sidecar.has(key);
  }

  get is3d(): boolean {
    return this.sidecar.text('MRAcquisitionType') === '3D';
  }

  get is2d(): boolean {
    return this.sidecar.text('MRAcquisitionType') === '2D';
  }

  /** Echo planar by what the scanner says; by the series' name only for slow 2D scans. */
  get isEchoPlanar(): boolean {
    if (this.scans('EP')) return true;
    if (this.called(/(^|[^a-z])(ep2d|epfid|epse|ep_|feepi|dwise|epirt|epi(2|_|[^a-z]|$))/))
      return true;
    return (
      !this.is3d &&
      this.repetitionSeconds > 2 * EXCITATION_TR_SECONDS &&
      /(^|[^a-z])(epi|bold|fmri|dti|dwi)([^a-z]|$)/.test(this.series) &&
      !this.called(/tse|fse|spc|haste/)
    );
  }

  get isDiffusion(): boolean {
    if (this.isSuffix('dwi') || this.datatype === 'dwi') return true;
    if (this.suffix !== undefined) return false;
    return (
      this.images('DIFFUSION') ||
      this.named(/(^|[^a-z])(dwi|dti|diff|dwise|ep_b\d|epi_dti|noddi|hardi)/)
    );
  }

  get isLabelling(): boolean {
    return (
      this.isSuffix('asl') ||
      this.datatype === 'perf' ||
      this.has('ArterialSpinLabelingType') ||
      this.named(/(^|[^a-z])(3d)?(p?c?asl|pasl)([^a-z]|$)/) ||
      this.images('ASL')
    );
  }

  get isTurboSpinEcho(): boolean {
    return this.called(TURBO) || (this.scans('SE') && !this.isEchoPlanar);
  }

  /** One echo after each excitation, as far as the sidecar says. */
  get isSingleSpinEcho(): boolean {
    return (
      this.isTurboSpinEcho &&
      !this.called(TURBO) &&
      (this.sidecar.positive('EchoTrainLength') ?? 1) === 1 &&
      !this.isSuffix('T2w', 'FLAIR')
    );
  }
}

/** Newer converters guess a BIDS name: a list of datatype and `_entities_suffix`. */
function bidsGuess(sidecar: Sidecar): { suffix?: string; datatype?: string } {
  const [datatype, name] = sidecar.texts('BidsGuess');
  const suffix = name?.split('_').at(-1);
  return {
    ...(datatype === undefined ? {} : { datatype }),
    ...(suffix === undefined ? {} : { suffix }),
  };
}
