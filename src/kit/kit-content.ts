/**
 * What page, guide and cards of a kit are made from.
 *
 * @module
 */
import type { KitContent } from './content.js';
import type { Manifest } from './manifest/manifest.js';

export function kitContent(manifest: Manifest): KitContent {
  const { contact, language, protocol, guideNote } = manifest.documents;
  return {
    manifest,
    contact,
    language,
    scanDate: manifest.plan.scanDate,
    protocol: protocol.map(({ name, plainName, durationSeconds }) => ({
      name,
      plainName,
      durationSeconds: durationSeconds,
    })),
    guideNote: guideNote ?? undefined,
  };
}
