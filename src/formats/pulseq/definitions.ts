/**
 * The section [DEFINITIONS]: the time rasters, and the extensions that must be understood.
 *
 * @module
 */
import type { PulseqRasters, PulseqVersion } from './sequence.js';
import { type SeqProblems, shown } from './problems.js';
import type { Sections } from './sections.js';

export interface Definitions {
  /** As text, by name. */
  readonly values: ReadonlyMap<string, string>;
  readonly rasters: PulseqRasters;
}

/**
 * Rasters of versions before 1.4, which do not write them: 10 us for gradients and 1 us for pulses.
 * Durations are computed there; nanoseconds are the finest unit of any event (the dwell time).
 */
const EARLY_RASTERS: PulseqRasters = {
  gradientSeconds: 10e-6,
  rfSeconds: 1e-6,
  blockSeconds: 1e-9,
};

/** First version that must write its rasters. */
const WRITES_RASTERS = 4;

/**
 * Rasters that can be meant, in s. Whole-body gradients are driven every 4 to 20 us; the limits keep
 * a hostile file from asking for billions of corners.
 */
const RASTER_RANGES = {
  GradientRasterTime: { min: 1e-6, max: 1e-3 },
  RadiofrequencyRasterTime: { min: 1e-9, max: 1e-3 },
  BlockDurationRaster: { min: 1e-9, max: 1e-1 },
} as const;

/** Reads the definitions. */
export function readDefinitions(
  sections: Sections,
  version: PulseqVersion,
  problems: SeqProblems,
): Definitions {
  const values = new Map<string, string>();
  const places = new Map<string, number>();
  const section = sections.get('DEFINITIONS');
  const rows = section?.rows();
  while (rows?.next()) {
    const key = rows.word();
    values.set(key, rows.rest());
    places.set(key, rows.at);
  }
  const raster = (name: keyof typeof RASTER_RANGES, early: number): number => {
    const text = values.get(name);
    if (text === undefined && version.minor < WRITES_RASTERS) return early;
    const { min, max } = RASTER_RANGES[name];
    const value = text === undefined || text === '' ? NaN : Number(text);
    if (value >= min && value <= max) return value;
    problems.add(
      places.get(name) ?? section?.at ?? 0,
      '[DEFINITIONS]',
      text === undefined ? `no ${name}` : `${name} is ${shown(text)}`,
      `${name}: a number from ${min} to ${max} s`,
    );
    return early;
  };
  return {
    values,
    rasters: {
      gradientSeconds: raster('GradientRasterTime', EARLY_RASTERS.gradientSeconds),
      rfSeconds: raster('RadiofrequencyRasterTime', EARLY_RASTERS.rfSeconds),
      blockSeconds:
        version.minor < WRITES_RASTERS
          ? EARLY_RASTERS.blockSeconds
          : raster('BlockDurationRaster', EARLY_RASTERS.blockSeconds),
    },
  };
}
