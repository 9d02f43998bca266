/**
 * Order and names of imported scans. Names come from types and BIDS entities, never from free text.
 *
 * @module
 */
import { contrastOf, type FoldedScan } from './fold-scans.js';
import type { ScanType } from '../protocol/scan.js';

/** First part of a scan's name. */
const BASE_NAMES: Readonly<Record<ScanType, string>> = {
  localiser: 'localiser',
  'gradient-echo-2d': '',
  'gradient-echo-3d': '',
  'balanced-steady-state': 'steady-state',
  spiral: 'spiral',
  'radial-gradient-echo': 'radial',
  'zero-echo-time': 'zte',
  'inversion-gradient-echo-3d': 't1',
  'turbo-spin-echo-3d': '',
  'turbo-spin-echo-2d': '',
  'spin-echo-2d': 'spin-echo',
  'echo-planar': 'func',
  'spin-echo-echo-planar': 'func',
  'diffusion-echo-planar': 'diffusion',
  'field-map-gradient-echo': 'fieldmap-gre',
  'field-map-echo-planar': 'fieldmap-epi',
  'arterial-spin-labelling': 'asl',
  spectroscopy: 'spectroscopy',
  'pre-scan': 'pre-scan',
  'table-motion': 'table-motion',
  pause: 'pause',
};

/** Order of the scans when the files do not say. Common practice, no source. */
const USUAL_ORDER: readonly ScanType[] = [
  'localiser',
  'inversion-gradient-echo-3d',
  'zero-echo-time',
  'balanced-steady-state',
  'spiral',
  'radial-gradient-echo',
  'gradient-echo-2d',
  'gradient-echo-3d',
  'field-map-gradient-echo',
  'field-map-echo-planar',
  'arterial-spin-labelling',
  'spectroscopy',
  'pre-scan',
  'table-motion',
  'pause',
  'echo-planar',
  'spin-echo-echo-planar',
  'turbo-spin-echo-3d',
  'turbo-spin-echo-2d',
  'spin-echo-2d',
  'diffusion-echo-planar',
];

/** Longest name of a scan that is made here, in characters; the study file allows 40. */
const MAX_NAME = 36;

/** By series number where every scan has one, else in an order that is usual. */
export function orderScans(scans: readonly FoldedScan[]): {
  readonly scans: readonly FoldedScan[];
  readonly notes: readonly string[];
} {
  if (scans.length < 2) return { scans, notes: [] };
  const participants = new Set(scans.map(({ main }) => `${main.name.entities['sub']}`));
  const seriesOf = ({ main }: FoldedScan): number => main.sidecar.number('SeriesNumber') ?? NaN;
  if (participants.size <= 1 && !scans.some(scan => Number.isNaN(seriesOf(scan)))) {
    return {
      scans: scans.toSorted((a, b) => seriesOf(a) - seriesOf(b)),
      notes: ['The scans are in the order of their series numbers.'],
    };
  }
  const rank = ({ main }: FoldedScan): number => USUAL_ORDER.indexOf(main.type);
  return {
    scans: scans.toSorted((a, b) => rank(a) - rank(b)),
    notes: ['The files do not say in which order the scans are run: put them in the right order.'],
  };
}

/** Short names from type and task; acquisition and direction are added where needed, then numbers. */
export function nameScans(scans: readonly FoldedScan[]): readonly string[] {
  let names = scans.map(({ main }) =>
    joinName(BASE_NAMES[main.type] || contrastOf(main), main.name.entities['task']),
  );
  for (const entity of ['acq', 'dir', 'ce']) {
    const before = names;
    names = names.map((name, i) =>
      before.filter(other => other === name).length > 1
        ? joinName(name, scans[i]!.main.name.entities[entity])
        : name,
    );
  }
  const used = new Set<string>();
  return names.map(name => {
    let unique = name;
    for (let i = 2; used.has(unique); i++) unique = `${name}-${i}`;
    used.add(unique);
    return unique;
  });
}

function joinName(name: string, label: string | undefined): string {
  const slug = (label ?? '').toLowerCase().replace(/[^a-z0-9]/g, '');
  return (slug === '' ? name : `${name}-${slug}`).slice(0, MAX_NAME);
}
