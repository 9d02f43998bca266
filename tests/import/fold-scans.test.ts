/** Which files are parts of which scan. */
import { describe, expect, test } from 'vitest';
import { parseBidsName } from '../../src/import/bids-name.js';
import { contrastOf, foldScans, type ScanFile } from '../../src/import/fold-scans.js';
import type { ScanType } from '../../src/protocol/scan.js';
import { Sidecar } from '../../src/import/sidecar.js';

function file(
  path: string,
  json: Record<string, unknown> = {},
  more: Partial<ScanFile> = {},
  type: ScanType = 'echo-planar',
): ScanFile {
  return { shown: path, name: parseBidsName(path), type, sidecar: new Sidecar(json), ...more };
}

const fold = (files: readonly ScanFile[]) => {
  const { scans, orphans } = foldScans(files);
  return {
    scans: scans.map(scan => [scan.main.shown, ...scan.files.map(({ shown }) => shown)]),
    orphans: orphans.map(({ shown }) => shown),
  };
};

describe('parts without a whole stand for the scan themselves', () => {
  test.each([
    [['s_task-a_echo-2_bold.json', 's_task-a_echo-3_bold.json']],
    [['s_task-a_part-phase_bold.json']],
    [['s_phase1.json', 's_phase2.json']],
    [['7_rest_e2.json']],
  ])('%j', paths => {
    const { scans, orphans } = fold(paths.map(path => file(path)));
    expect(scans).toEqual([[paths[0], ...paths]]);
    expect(orphans).toEqual([]);
  });

  test('but not a single-band reference', () => {
    const paths = ['s_task-a_sbref.json', '7_rest_sbref_8.json'];
    expect(fold(paths.map(path => file(path)))).toEqual({ scans: [], orphans: paths });
  });
});

describe('the whole leads, wherever it stands', () => {
  test.each([
    [['s_task-a_echo-2_bold.json', 's_task-a_echo-1_bold.json']],
    [['s_task-a_part-phase_bold.json', 's_task-a_part-mag_bold.json']],
    [['s_task-a_sbref.json', 's_task-a_bold.json']],
    [['s_task-a_rec-noRF_bold.json', 's_task-a_bold.json']],
    [['s_magnitude2.json', 's_magnitude1.json']],
    [['9_rest_e2_ph.json', '8_rest_e1.json']],
    [['5_rest_SBRef_4.json', '5_rest_5.json']],
  ])('%j', paths => {
    expect(fold(paths.map(path => file(path))).scans).toEqual([[paths[1], ...paths]]);
  });
});

describe('the file that tells most leads', () => {
  const run = (i: number) => `s_run-${i}_phasediff.json`;

  test('both echo times, then b-values, then an image, then the first', () => {
    const image = { size: [1, 1, 1], voxelMm: [1, 1, 1], volumes: 1 } as const;
    const first = file(run(1));
    const imaged = file(run(2), {}, { image });
    const weighted = file(run(3), {}, { bValues: [0] });
    const echoes = file(run(4), { EchoTime2: 0.007 });
    const rich = file(run(5), {}, { image, bValues: [0] });
    const leader = (...files: readonly ScanFile[]) => foldScans(files).scans[0]!.main;
    expect(leader(first, file(run(6)))).toBe(first);
    expect(leader(first, imaged)).toBe(imaged);
    expect(leader(imaged, weighted)).toBe(weighted);
    expect(leader(weighted, rich)).toBe(rich);
    expect(leader(rich, echoes)).toBe(echoes);
    expect(leader(echoes, rich)).toBe(echoes);
  });
});

describe('repetition times', () => {
  const run = (i: number, RepetitionTime?: number) =>
    file(`s_task-a_run-${i}_bold.json`, RepetitionTime === undefined ? {} : { RepetitionTime });
  const count = (...times: (number | undefined)[]) =>
    fold(times.map((time, i) => run(i, time))).scans.length;

  test('within 0.5 % are of one scan', () => {
    expect([
      count(1, 1.004),
      count(1, 1.006),
      count(2, 2.004, 2.011),
      count(undefined, undefined),
    ]).toEqual([1, 2, 2, 1]);
  });

  test('a missing one is another', () => {
    expect(count(1, undefined)).toBe(2);
  });
});

test('types, contrasts and tasks are never folded', () => {
  const files = [
    file('s_T2w.json', {}, {}, 'turbo-spin-echo-3d'),
    file('s_FLAIR.json', {}, {}, 'turbo-spin-echo-3d'),
    file('s_task-a_bold.json'),
    file('s_task-b_bold.json'),
    file('s_task-a_bold.json', {}, {}, 'diffusion-echo-planar'),
  ];
  expect(foldScans(files).scans).toHaveLength(5);
});

test.each([
  ['s_T2w.json', {}, 't2'],
  ['s_FLAIR.json', {}, 'flair'],
  ['s_PDw.json', {}, 'pd'],
  ['7.json', { InversionTime: 1.8 }, 'flair'],
  ['7.json', { ScanningSequence: 'SE\\IR' }, 'flair'],
  ['7.json', { EchoTime: 0.4 }, 't2'],
  ['7.json', { EchoTime: 0.02 }, 't1-tse'],
  ['7.json', {}, 't2'],
])('a 3D turbo spin echo %s with %j is named %s', (path, json, contrast) => {
  expect(contrastOf(file(path, json, {}, 'turbo-spin-echo-3d'))).toBe(contrast);
});
