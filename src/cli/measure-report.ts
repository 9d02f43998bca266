/**
 * What `softknock measure` prints: JSON, CSV or text.
 *
 * @module
 */
import { csvTable } from '../formats/csv-table.js';
import type { MeasuredFile } from '../io/measure-file.js';
import { type Calibration, levelAtEar } from '../levels/calibration.js';
import type { Levels } from '../levels/levels.js';
import { formatTable } from './table.js';

/** Everything that was measured, and what it is measured against. */
export interface MeasureReport {
  readonly files: readonly MeasuredFile[];
  readonly reference?: MeasuredFile;
  readonly calibration?: Calibration;
}

/** Levels that are given re the reference's LAeq. */
const RELATIVE = ['laeq', 'lafmax', 'lasmax'] as const;

/** Levels that a calibration turns into levels at the ear, with the unit there. */
const AT_EAR = [
  ['laeq', 'Dba'],
  ['lafmax', 'Dba'],
  ['lasmax', 'Dba'],
  ['lceq', 'Dbc'],
  ['lcpeak', 'Dbc'],
] as const;

/** Decimals of levels in JSON and CSV. */
const LEVEL_DECIMALS = 3;

/** One JSON document; silence is null. */
export function jsonReport(report: MeasureReport): string {
  const { reference, calibration, files } = report;
  const document = {
    ...(reference !== undefined && {
      reference: { file: reference.path, laeqDbfs: rounded(reference.levels.laeqDbfs) },
    }),
    ...(calibration !== undefined && {
      calibration: {
        fullScaleDba: calibration.fullScaleDb,
        uncertaintyDb: calibration.uncertaintyDb,
      },
    }),
    files: files.map(file => ({
      file: file.path,
      ...levelEntries(file.levels),
      lafPercentilesDbfs: percentileEntries(file.levels),
      thirdOctaves: file.levels.thirdOctaves.map(({ nominalHz, levelDbfs }) => ({
        hertz: nominalHz,
        dbfs: rounded(levelDbfs),
      })),
      ...relativeEntries(file.levels, reference),
      ...earEntries(file.levels, calibration),
      ...(file.warnings.length > 0 && { warnings: file.warnings }),
    })),
  };
  return `${JSON.stringify(document, null, 2)}\n`;
}

/** One table, a row per file; silence is an empty cell. */
export function csvReport(report: MeasureReport): string {
  const rows = report.files.map(({ path, levels }) => {
    const flat = new Map<string, string | number | null>([['file', path]]);
    for (const [key, value] of Object.entries(levelEntries(levels))) flat.set(key, value);
    for (const [key, value] of Object.entries(percentileEntries(levels))) {
      flat.set(`laf${key.toUpperCase()}Dbfs`, value);
    }
    for (const { nominalHz, levelDbfs } of levels.thirdOctaves) {
      flat.set(`thirdOctave${nominalHz}Dbfs`, rounded(levelDbfs));
    }
    for (const [key, value] of Object.entries(relativeEntries(levels, report.reference))) {
      flat.set(key, value);
    }
    for (const [key, range] of Object.entries(earEntries(levels, report.calibration))) {
      for (const end of ['low', 'expected', 'high'] as const) flat.set(`${key}_${end}`, range[end]);
    }
    return flat;
  });
  // Files of a low sample rate have fewer bands.
  const keys = [...new Set(rows.flatMap(row => [...row.keys()]))];
  return csvTable([keys, ...rows.map(row => keys.map(key => row.get(key) ?? null))]);
}

/** A table for people; silence is a word. */
export function textReport({ files, reference, calibration }: MeasureReport): string {
  const digital = formatTable(
    [
      { title: 'file' },
      { title: 'length', right: true },
      { title: 'LAeq', right: true },
      { title: 'LAFmax', right: true },
      { title: 'LASmax', right: true },
      { title: 'LCeq', right: true },
      { title: 'LCpeak', right: true },
      { title: 'true peak', right: true },
      { title: 'LUFS', right: true },
    ],
    files.map(({ path, levels }) => [
      path,
      `${levels.durationSeconds.toFixed(1)} s`,
      word(levels.laeqDbfs),
      word(levels.lafmaxDbfs),
      word(levels.lasmaxDbfs),
      word(levels.lceqDbfs),
      word(levels.lcpeakDbfs),
      word(levels.truePeakDbtp),
      loudnessWord(levels.integratedLufs),
    ]),
  );
  const parts = [
    `${digital}Levels in dBFS re the RMS of a full-scale sine; true peak in dBTP.
More with --json: exposure level, percentiles, third octaves, loudness range and maxima.\n`,
  ];
  if (reference !== undefined) {
    const rows = files.map(({ path, levels }) => [
      path,
      ...RELATIVE.map(name => word(levels[`${name}Dbfs`] - reference.levels.laeqDbfs)),
    ]);
    const columns = RELATIVE.map(name => ({ title: LABELS[name], right: true }));
    parts.push(
      `${formatTable([{ title: 'file' }, ...columns], rows)}In dB re the LAeq of ${reference.path}.\n`,
    );
  }
  if (calibration !== undefined) {
    const rows = files.map(({ path, levels }) => [
      path,
      ...AT_EAR.map(([name]) => {
        const { low, expected, high } = levelAtEar(levels[`${name}Dbfs`], calibration);
        return expected === -Infinity
          ? SILENCE
          : `${expected.toFixed(0)} (${low.toFixed(0)}-${high.toFixed(0)})`;
      }),
    ]);
    const columns = AT_EAR.map(([name, unit]) => ({
      title: `${LABELS[name]}, dB${unit.at(-1)!.toUpperCase()}`,
      right: true,
    }));
    parts.push(
      `${formatTable([{ title: 'file' }, ...columns], rows)}At the ear, if full scale gives ` +
        `${calibration.fullScaleDb} dBA there, give or take ${calibration.uncertaintyDb} dB.\n`,
    );
  }
  return parts.join('\n');
}

const LABELS = {
  laeq: 'LAeq',
  lafmax: 'LAFmax',
  lasmax: 'LASmax',
  lceq: 'LCeq',
  lcpeak: 'LCpeak',
} as const;

const SILENCE = 'silence';

const word = (levelDb: number): string => (levelDb === -Infinity ? SILENCE : tenths(levelDb));

/** Without a sign before zero. */
const tenths = (value: number): string => value.toFixed(1).replace(/^-(0\.0)$/, '$1');

/** Loudness has no value for sounds shorter than its window, and below its gate. */
const loudnessWord = (lufs: number): string => (lufs === -Infinity ? 'none' : tenths(lufs));

/** Rounded for print; silence is null. */
const rounded = (levelDb: number): number | null =>
  Number.isFinite(levelDb) ? Number(levelDb.toFixed(LEVEL_DECIMALS)) : null;

function levelEntries(levels: Levels): Record<string, number | null> {
  return {
    durationSeconds: levels.durationSeconds,
    sampleRateHertz: levels.sampleRateHz,
    channels: levels.channels,
    laeqDbfs: rounded(levels.laeqDbfs),
    lafmaxDbfs: rounded(levels.lafmaxDbfs),
    lasmaxDbfs: rounded(levels.lasmaxDbfs),
    lceqDbfs: rounded(levels.lceqDbfs),
    lzeqDbfs: rounded(levels.lzeqDbfs),
    lcpeakDbfs: rounded(levels.lcpeakDbfs),
    truePeakDbtp: rounded(levels.truePeakDbtp),
    soundExposureLevelDb: rounded(levels.soundExposureLevelDb),
    integratedLufs: rounded(levels.integratedLufs),
    loudnessRangeLu: rounded(levels.loudnessRangeLu),
    maxShortTermLufs: rounded(levels.maxShortTermLufs),
    maxMomentaryLufs: rounded(levels.maxMomentaryLufs),
    clippedSamples: levels.clippedSamples,
  };
}

/** Keys `l1` to `l99`: exceeded for that share of the time, in percent. */
function percentileEntries({ lafPercentilesDbfs }: Levels): Record<string, number | null> {
  return Object.fromEntries(
    Object.entries(lafPercentilesDbfs).map(([key, level]) => [key, rounded(level as number)]),
  );
}

function relativeEntries(
  levels: Levels,
  reference: MeasuredFile | undefined,
): Record<string, number | null> {
  if (reference === undefined) return {};
  return Object.fromEntries(
    RELATIVE.map(name => [
      `${name}ReReferenceDb`,
      rounded(levels[`${name}Dbfs`] - reference.levels.laeqDbfs),
    ]),
  );
}

function earEntries(
  levels: Levels,
  calibration: Calibration | undefined,
): Record<string, RoundedRange> {
  if (calibration === undefined) return {};
  const range = (levelDb: number): RoundedRange => {
    const { low, expected, high } = levelAtEar(levelDb, calibration);
    return { low: rounded(low), expected: rounded(expected), high: rounded(high) };
  };
  return {
    ...Object.fromEntries(
      AT_EAR.map(([name, unit]) => [
        `estimated${name.charAt(0).toUpperCase()}${name.slice(1)}${unit}`,
        range(levels[`${name}Dbfs`]),
      ]),
    ),
    estimatedSoundExposureLevelDba: range(levels.soundExposureLevelDb),
  };
}

interface RoundedRange {
  readonly low: number | null;
  readonly expected: number | null;
  readonly high: number | null;
}
