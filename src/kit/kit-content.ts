/**
 * What page, guide and cards of a kit are made from.
 *
 * @module
 */
import type { KitContent } from './content.js';
import type { KitInputs } from './kit-inputs.js';
import type { Manifest } from './manifest.js';

export function kitContent(manifest: Manifest, { study, texts }: KitInputs): KitContent {
  return {
    manifest,
    contact: study.contact,
    language: texts.language,
    scanDate: manifest.plan.scanDate,
    protocol: study.scans,
    guideNote: study.guideNote,
  };
}
