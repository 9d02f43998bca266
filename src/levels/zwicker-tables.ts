/**
 * The tables of Zwicker's method: what the ear does to a level before it becomes loudness.
 *
 * Source: ISO 532-1:2017, Annex A, tables A.3 to A.9, which are those of DIN 45631:1991 (E. Zwicker,
 * H. Fastl, U. Widmann and others, "Program for calculating loudness according to DIN 45631
 * (ISO 532B)", J. Acoust. Soc. Jpn. (E) 12, 1991). The numbers were read in two public transcriptions,
 * which agree in all of them; what they give is checked in `tests/levels/zwicker-loudness.test.ts`.
 *
 * @module
 */

/** Mid-band frequencies of the third octaves in Hz, base 10, from 25 Hz to 12.5 kHz. */
export const LOUDNESS_BANDS_HZ: readonly number[] = Array.from(
  { length: 28 },
  (_, band) => 10 ** ((band + 14) / 10),
);

/** The third octaves below 315 Hz, which are narrower than critical bands and are added up. */
export const LOW_BANDS = 11;

/** How many of them make up each of the first three critical bands. */
export const LOW_BANDS_OF_CRITICAL_BAND = [6, 3, 2] as const;

/**
 * Table A.3: upper limits of ranges of level in dB, after the correction, and for each range what is
 * taken off the level of the eleven low bands in dB.
 */
export const LOW_BAND_CORRECTIONS: readonly {
  readonly upToDb: number;
  readonly correctionDb: readonly number[];
}[] = [
  { upToDb: 45, correctionDb: [-32, -24, -16, -10, -5, 0, -7, -3, 0, -2, 0] },
  { upToDb: 55, correctionDb: [-29, -22, -15, -10, -4, 0, -7, -2, 0, -2, 0] },
  { upToDb: 65, correctionDb: [-27, -19, -14, -9, -4, 0, -6, -2, 0, -2, 0] },
  { upToDb: 71, correctionDb: [-25, -17, -12, -9, -3, 0, -5, -2, 0, -2, 0] },
  { upToDb: 80, correctionDb: [-23, -16, -11, -7, -3, 0, -4, -1, 0, -1, 0] },
  { upToDb: 90, correctionDb: [-20, -14, -10, -6, -3, 0, -4, -1, 0, -1, 0] },
  { upToDb: 100, correctionDb: [-18, -12, -9, -6, -2, 0, -3, -1, 0, -1, 0] },
  { upToDb: 120, correctionDb: [-15, -10, -8, -4, -2, 0, -3, -1, 0, -1, 0] },
];

/** Table A.4, a0: attenuation from a free sound field to the inner ear per critical band, in dB. */
export const EAR_ATTENUATION_DB = [
  0, 0, 0, 0, 0, 0, 0, 0, 0, 0, -0.5, -1.6, -3.2, -5.4, -5.6, -4, -1.5, 2, 5, 12,
] as const;

/** Table A.5, DDF: how much louder than a free sound field a diffuse one of equal level acts, in dB. */
export const DIFFUSE_FIELD_DB = [
  0, 0, 0.5, 0.9, 1.2, 1.6, 2.3, 2.8, 3, 2, 0, -1.4, -2, -1.9, -1, 0.5, 3, 4, 4.3, 4,
] as const;

/** Table A.6, LTQ: critical-band level at the threshold in quiet, behind the middle ear, in dB. */
export const THRESHOLD_DB = [
  30, 18, 12, 8, 7, 6, 5, 4, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3,
] as const;

/** Table A.7, DCB: level of the third octave less that of the critical band, in dB. */
export const BANDWIDTH_DB = [
  -0.25, -0.6, -0.8, -0.8, -0.5, 0, 0.5, 1.1, 1.5, 1.7, 1.8, 1.8, 1.7, 1.6, 1.4, 1.2, 0.8, 0.5, 0,
  -0.5,
] as const;

/** Table A.8, ZUP: upper limits of the critical bands in Bark; the last band is the slope's alone. */
export const UPPER_LIMITS_BARK = [
  0.9, 1.8, 2.8, 3.5, 4.4, 5.4, 6.6, 7.9, 9.2, 10.6, 12.3, 13.8, 15.2, 16.7, 18.1, 19.3, 20.6, 21.8,
  22.7, 23.6, 24,
] as const;

/**
 * Table A.9, RNS and USL: above `fromSone` sone/Bark the upper slope of the pattern falls by so many
 * sone/Bark per Bark, in the second to the eighth critical band and in the ninth and all above.
 */
export const UPPER_SLOPES: readonly {
  readonly fromSone: number;
  readonly slopes: readonly number[];
}[] = [
  { fromSone: 21.5, slopes: [13, 8.2, 6.3, 5.5, 5.5, 5.5, 5.5, 5.5] },
  { fromSone: 18, slopes: [9, 7.5, 6, 5.1, 4.5, 4.5, 4.5, 4.5] },
  { fromSone: 15.1, slopes: [7.8, 6.7, 5.6, 4.9, 4.4, 3.9, 3.9, 3.9] },
  { fromSone: 11.5, slopes: [6.2, 5.4, 4.6, 4, 3.5, 3.2, 3.2, 3.2] },
  { fromSone: 9, slopes: [4.5, 3.8, 3.6, 3.2, 2.9, 2.7, 2.7, 2.7] },
  { fromSone: 6.1, slopes: [3.7, 3, 2.8, 2.35, 2.2, 2.2, 2.2, 2.2] },
  { fromSone: 4.4, slopes: [2.9, 2.3, 2.1, 1.9, 1.8, 1.7, 1.7, 1.7] },
  { fromSone: 3.1, slopes: [2.4, 1.7, 1.5, 1.35, 1.3, 1.3, 1.3, 1.3] },
  { fromSone: 2.13, slopes: [1.95, 1.45, 1.3, 1.15, 1.1, 1.1, 1.1, 1.1] },
  { fromSone: 1.36, slopes: [1.5, 1.2, 0.94, 0.86, 0.82, 0.82, 0.82, 0.82] },
  { fromSone: 0.82, slopes: [0.72, 0.67, 0.64, 0.63, 0.62, 0.62, 0.62, 0.62] },
  { fromSone: 0.42, slopes: [0.59, 0.53, 0.51, 0.5, 0.42, 0.42, 0.42, 0.42] },
  { fromSone: 0.3, slopes: [0.4, 0.33, 0.26, 0.24, 0.24, 0.22, 0.22, 0.22] },
  { fromSone: 0.22, slopes: [0.27, 0.21, 0.2, 0.18, 0.17, 0.17, 0.17, 0.17] },
  { fromSone: 0.15, slopes: [0.16, 0.15, 0.14, 0.12, 0.11, 0.11, 0.11, 0.11] },
  { fromSone: 0.1, slopes: [0.12, 0.11, 0.1, 0.08, 0.08, 0.08, 0.08, 0.08] },
  { fromSone: 0.035, slopes: [0.09, 0.08, 0.07, 0.06, 0.06, 0.06, 0.06, 0.05] },
  { fromSone: 0, slopes: [0.06, 0.05, 0.03, 0.02, 0.02, 0.02, 0.02, 0.02] },
];
