/**
 * A protocol as one text that is the same when, and only when, its sounds are: what its hash is
 * taken of.
 *
 * @module
 */
import type { Scan, Scanner } from '../../protocol/scan.js';

/** Scans in their order, fields by name, values without where they come from. */
export function protocolText(scanner: Scanner, scans: readonly Scan[]): string {
  return JSON.stringify({
    scanner: valuesOf(scanner),
    scans: scans.map(({ name, type, fields, fileHash }) => ({
      name,
      type,
      fields: valuesOf(fields),
      fileHash,
    })),
  });
}

function valuesOf(fields: object): Record<string, unknown> {
  const entries = Object.entries(fields) as [string, { readonly value: unknown }][];
  return Object.fromEntries(
    entries.map(([name, { value }]) => [name, value] as const).sort(([a], [b]) => (a < b ? -1 : 1)),
  );
}
