/**
 * `.seq` text -> Pulseq sequence, or what is wrong with it.
 *
 * Reads versions 1.2 to 1.5 in their text form, strictly: what the text claims is checked before it
 * is used, nothing is set aside for a mere claim, and every number must lead somewhere.
 *
 * Source: Pulseq file format specification (CC BY 4.0), versions 1.2.0 to 1.5.1.
 *
 * @module
 */
import { readBlocks } from './blocks.js';
import { readDefinitions } from './definitions.js';
import { readEvents } from './events.js';
import { readExtensions } from './extensions.js';
import { SeqProblems } from './problems.js';
import { findSections } from './sections.js';
import type { PulseqSequence } from './sequence.js';
import { ShapeTraits } from './shape-traits.js';
import { readShapes } from './shapes.js';
import { readVersion } from './version.js';

/** How the binary form begins. */
const BINARY_MARK = '\u0001pulseq\u0002';

/**
 * Reads a sequence.
 *
 * @param text - The file's text; only ASCII has a meaning.
 * @param fileName - Name for messages, for example `scan.seq`.
 * @throws {UserError} `BAD_PROTOCOL`, each problem with its line, what was found, what is allowed and
 * the fix.
 */
export function parsePulseq(text: string, fileName: string): PulseqSequence {
  const problems = new SeqProblems(text, fileName);
  if (text.startsWith(BINARY_MARK)) {
    problems.fail(
      0,
      '',
      'a Pulseq file in binary form',
      'the text form, which begins with comments or [VERSION]',
      'Write the sequence as text (.seq) with the tool that made it.',
    );
  }
  const sections = findSections(text, problems);
  const version = readVersion(sections, problems);
  const { values, rasters } = readDefinitions(sections, version, problems);
  const shapes = readShapes(sections, version, problems);
  // Later sections name shapes: what is wrong with these would only be said again.
  problems.throwIfAny();
  const traits = new ShapeTraits();
  const context = { sections, version, rasters, shapes, problems };
  const events = readEvents(context, traits);
  const required = values.get('RequiredExtensions') ?? '';
  const extensions = readExtensions(sections, required, problems);
  problems.throwIfAny();
  const blocks = readBlocks(context, events, extensions, traits);
  problems.throwIfAny();
  return {
    version,
    definitions: values,
    rasters,
    blocks,
    gradients: events.gradients,
    rf: events.rf,
    adc: events.adc,
    rotations: extensions.rotations,
    unknownExtensions: extensions.unknown,
  };
}
