/**
 * The inheritance principle of BIDS: which metadata files apply to a scan, nearer ones overriding.
 *
 * Source: bids-specification, "The inheritance principle": a file applies when it lies in the folder of
 * the scan or above it, has the same suffix, and no entity that the scan does not have.
 *
 * @module
 */
import { type BidsName, parseBidsName } from './bids-name.js';

/**
 * The files that apply to a scan, from the farthest to the nearest: a later one overrides.
 *
 * @param scan - Path of the scan's image or sidecar, relative to the dataset, with `/`.
 * @param candidates - Paths of metadata files of one kind, such as `.json`.
 */
export function applicableFiles(scan: string, candidates: readonly string[]): readonly string[] {
  const target = parseBidsName(scan);
  return candidates
    .map(path => ({ path, name: parseBidsName(path) }))
    .filter(({ name }) => applies(name, target))
    .sort((a, b) => depth(a.name) - depth(b.name) || weight(a.name) - weight(b.name))
    .map(({ path }) => path);
}

/** One sidecar from several: later values replace earlier ones. */
export function mergeSidecars(
  sidecars: readonly Readonly<Record<string, unknown>>[],
): Readonly<Record<string, unknown>> {
  return Object.fromEntries(sidecars.flatMap(sidecar => Object.entries(sidecar)));
}

function applies(name: BidsName, target: BidsName): boolean {
  const inside = name.folder === '' || `${target.folder}/`.startsWith(`${name.folder}/`);
  return (
    inside &&
    name.suffix === target.suffix &&
    Object.entries(name.entities).every(([key, label]) => target.entities[key] === label)
  );
}

const depth = ({ folder }: BidsName): number => (folder === '' ? 0 : folder.split('/').length);

const weight = ({ entities }: BidsName): number => Object.keys(entities).length;
