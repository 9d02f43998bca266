/**
 * Open data on scan protocols, which lies beside the project and is no part of it.
 *
 * Tests that need it are skipped where it is absent, and their titles say so.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, test } from 'vitest';

const FOLDER = path.resolve(import.meta.dirname, '../../../shared/data');

export const SIDECAR_FOLDER = path.join(FOLDER, 'json');

export const DICOM_FOLDER = path.join(FOLDER, 'dcm');

const isThere = existsSync(SIDECAR_FOLDER);

/** A suite that needs the open data: where they are absent it is not even collected, and says so. */
export function describeWithOpenData(title: string, tests: () => void): void {
  if (isThere) describe(title, tests);
  else test.skip(`${title} (skipped: ../shared/data is not here)`, () => undefined);
}

/** Every sidecar, by file name. */
export function openSidecars(): readonly { path: string; json: Record<string, unknown> }[] {
  if (!isThere) return [];
  return readdirSync(SIDECAR_FOLDER)
    .sort()
    .map(name => ({ path: name, json: readJson(path.join(SIDECAR_FOLDER, name)) }));
}

/** What an independent reader computed for a sidecar. */
export interface SidecarFacts {
  /** Name of the sidecar. */
  readonly file: string;
  /** True echo spacing in s; null for scans that are not echo planar or hold no trace of it. */
  readonly trueES: number | null;
  readonly MB: number | null;
  readonly MB_from_ST: number | null;
}

export function sidecarFacts(): readonly SidecarFacts[] {
  if (!isThere) return [];
  const { files } = readJson(path.join(FOLDER, 'facts-json.json')) as { files: SidecarFacts[] };
  return files.map(facts => ({ ...facts, file: path.basename(facts.file) }));
}

/** A Pulseq file, by file name. */
export interface OpenSequence {
  readonly file: string;
  readonly text: string;
  readonly facts: SequenceFacts;
}

/** What an independent reader computed for a Pulseq file. */
export interface SequenceFacts {
  readonly version: string;
  readonly blocks: number;
  readonly duration_s: number;
  /** As the file states it; null where it does not. */
  readonly TotalDuration_in_file: string | null;
  readonly gradient_raster_s: number;
  readonly max_gradient_mT_per_m: readonly number[];
  readonly commonest_rf_spacing_s: number | null;
  /** Frequency and share of the power, the strongest first. */
  readonly strongest_dGdt_lines_hz_share: readonly (readonly [hertz: number, share: number])[];
}

/** Every Pulseq file with its facts. */
export function openSequences(): readonly OpenSequence[] {
  if (!isThere) return [];
  const { files } = readJson(path.join(FOLDER, 'facts-seq.json')) as {
    files: Record<string, SequenceFacts>;
  };
  return readdirSync(path.join(FOLDER, 'seq'))
    .sort()
    .map(file => ({
      file,
      text: readFileSync(path.join(FOLDER, 'seq', file), 'latin1'),
      facts: files[`seq/${file}`]!,
    }));
}

function readJson(file: string): Record<string, unknown> {
  return JSON.parse(readFileSync(file, 'utf8')) as Record<string, unknown>;
}
