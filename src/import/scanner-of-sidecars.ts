/**
 * What sidecars tell about the scanner: its make and its field strength.
 *
 * @module
 */
import { formatValue } from '../protocol/format-value.js';
import { assumed, derived, given, type Sourced } from '../protocol/origin.js';
import { printable } from '../protocol/quote.js';
import type { Sidecar } from './sidecar.js';

export interface ImportedScanner {
  readonly name?: string;
  /** Tesla. */
  readonly MagneticFieldStrength: Sourced<number>;
}

/** MHz per tesla, proton. */
const MHZ_PER_TESLA = 42.577;

/** Field strength assumed when no sidecar has one, in T. */
const TYPICAL_TESLA = 3;

/** Make and field strength that most of the sidecars give. */
export function importScanner(sidecars: readonly Sidecar[]): ImportedScanner {
  const name = mostCommon(
    sidecars.map(sidecar => {
      const parts = [sidecar.text('Manufacturer'), sidecar.text('ManufacturersModelName')];
      return printable(
        parts
          .join(' ')
          .replace(/[_\s]+/g, ' ')
          .trim(),
      );
    }),
  );
  return {
    ...(name === undefined ? {} : { name }),
    MagneticFieldStrength: readFieldStrength(sidecars),
  };
}

function readFieldStrength(sidecars: readonly Sidecar[]): Sourced<number> {
  const possible = (tesla: number): boolean => tesla >= 0.05 && tesla <= 12;
  const read = (key: string, scale: number): readonly number[] =>
    sidecars.flatMap(sidecar => {
      const value = sidecar.positive(key);
      return value !== undefined && possible(value * scale) ? [value] : [];
    });
  const stated = read('MagneticFieldStrength', 1);
  const tesla = mostCommon(stated);
  if (tesla !== undefined) {
    const others = new Set(stated.filter(value => value !== tesla));
    const also = others.size > 0 ? `; other files say ${[...others].sort().join(', ')}` : '';
    const key = 'MagneticFieldStrength';
    const source = sidecars.find(sidecar => sidecar.positive(key) === tesla)!;
    return given(tesla, `${source.cite(key)}${also}`);
  }
  const megahertz = mostCommon(read('ImagingFrequency', 1 / MHZ_PER_TESLA));
  if (megahertz !== undefined) {
    const why = `ImagingFrequency ${formatValue(megahertz)} MHz / ${MHZ_PER_TESLA} MHz per T`;
    return derived(Number((megahertz / MHZ_PER_TESLA).toPrecision(2)), why);
  }
  return assumed(TYPICAL_TESLA, 'no file gives it; correct it');
}

/** The value that occurs most, the first of several; undefined when there is none but empty text. */
function mostCommon<T extends string | number>(values: readonly T[]): T | undefined {
  const counts = new Map<T, number>();
  for (const value of values) if (value !== '') counts.set(value, (counts.get(value) ?? 0) + 1);
  const [best] = [...counts].sort(([, a], [, b]) => b - a);
  return best?.[0];
}
