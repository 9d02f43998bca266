/**
 * Published limits on peaks, which hurt at once however short they are.
 *
 * @module
 */

/** A limit on the C-weighted peak. */
export interface PeakLimit {
  readonly name: string;
  /** dB re 20 uPa, C-weighted peak. */
  readonly peakDbc: number;
  readonly source: string;
}

/** Highest first. The limits for toys and for children's ears are what softknock's own gate rests on. */
export const PEAK_LIMITS: readonly PeakLimit[] = [
  { name: 'EU limit value', peakDbc: 140, source: 'Directive 2003/10/EC, article 3 (200 Pa)' },
  {
    name: 'EU upper action value',
    peakDbc: 137,
    source: 'Directive 2003/10/EC, article 3 (140 Pa)',
  },
  {
    name: 'EU lower action value',
    peakDbc: 135,
    source: 'Directive 2003/10/EC, article 3 (112 Pa)',
  },
  { name: 'WHO, children', peakDbc: 120, source: 'WHO guidelines for community noise (1999)' },
  { name: 'toys close to the ear', peakDbc: 110, source: 'ASTM F963-23, 4.5' },
];
