/**
 * What the checks of events ask about shapes, each shape looked at once: many events share one.
 *
 * @module
 */
import type { PulseqShape } from './sequence.js';
import { shapeKnots } from './shapes.js';

export interface ShapeTrait {
  /** The sample that is farthest from zero. */
  readonly extreme: number;
  readonly last: number;
  /** Whether the samples begin at 0 or later and rise from each to the next, as times do. */
  readonly rises: boolean;
}

export class ShapeTraits {
  private readonly traits = new Map<PulseqShape, ShapeTrait>();

  of(shape: PulseqShape): ShapeTrait {
    let trait = this.traits.get(shape);
    if (trait === undefined) this.traits.set(shape, (trait = traitOf(shape)));
    return trait;
  }
}

function traitOf(shape: PulseqShape): ShapeTrait {
  const { values } = shapeKnots(shape);
  let extreme = 0;
  let rises = values[0]! >= 0;
  for (let i = 0; i < values.length; i++) {
    if (Math.abs(values[i]!) > Math.abs(extreme)) extreme = values[i]!;
    if (i > 0 && values[i]! <= values[i - 1]!) rises = false;
  }
  return { extreme, last: values.at(-1)!, rises };
}
