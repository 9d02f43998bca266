/** `softknock revise`, as staff run it, with a kit of two sounds. */
import { cpSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import type { Manifest } from '../../src/kit/manifest/manifest.js';
import { softknock, softknockJson, temporaryFolder } from '../helpers/cli.js';
import { logOf, logRow } from '../helpers/family-log.js';
import { pageFunctions } from '../helpers/page-scripts.js';
import { NIGHT_SKY } from '../helpers/study.js';

interface Revised {
  readonly kit: string;
  readonly version: number;
  readonly sessions: readonly {
    readonly date: string;
    readonly step: number;
    readonly outcome: string;
    readonly rule: string;
    readonly why: string;
  }[];
  readonly action: string;
  readonly nextStep: number | null;
  readonly plan: readonly { readonly date: string; readonly step: number }[];
}

const folder = await temporaryFolder();
// The same sounds again and again: they are listened to once.
process.env['SOFTKNOCK_CACHE'] = path.join(folder, 'cache');
const study = path.join(folder, 'study.yaml');
const log = path.join(folder, 'log.csv');
let built: string;
let code: string;

beforeAll(async () => {
  const text = readFileSync(NIGHT_SKY, 'utf8');
  const names = [...text.matchAll(/^ {2}- name: (\S+)$/gm)].map(([, name]) => name!);
  const heard = ['localiser', 'func-rest'];
  const leaveOut = names.filter(name => !heard.includes(name)).join(', ');
  writeFileSync(study, text.replace(/^plan:$/m, `plan:\n  leaveOut: [${leaveOut}]`));
  const kit = await softknockJson<Manifest>(
    ...['kit', study, '--family', 'F1', '--age', '7', '--scan-date', '2027-05-27'],
    ...['--out', path.join(folder, 'out')],
  );
  code = kit.kit;
  built = path.join(folder, 'out', code);
});

let copies = 0;

/** A kit as it was built, for one test. */
function copyOfKit(): string {
  const place = path.join(folder, `copy-${++copies}`, code);
  cpSync(built, place, { recursive: true, preserveTimestamps: true });
  return place;
}

function writeLog(...rows: readonly Parameters<typeof logRow>[0][]): string {
  writeFileSync(log, logOf(...rows.map(cells => logRow({ kit: code, ...cells }))));
  return log;
}

const days = ['2027-05-16', '2027-05-17', '2027-05-18', '2027-05-19'];
const onlyAllRight = () => writeLog(...days.map(date => ({ date, child_rating: '4' })));

const contents = (place: string): Record<string, string> =>
  Object.fromEntries(
    readdirSync(place, { recursive: true, withFileTypes: true })
      .filter(entry => entry.isFile())
      .map(entry => {
        const file = path.join(entry.parentPath, entry.name);
        return [path.relative(place, file), readFileSync(file).toString('base64')];
      }),
  );

const readManifest = (place: string): Manifest =>
  JSON.parse(readFileSync(path.join(place, 'kit.json'), 'utf8')) as Manifest;

describe('a log that leads on', () => {
  test('is told in words and as JSON, and a preview writes nothing', async () => {
    const place = copyOfKit();
    const before = contents(place);
    const file = writeLog({ date: '2027-05-18' }, { date: '2027-05-19' });
    const { status, out } = await softknock('revise', place, '--log', file, '--preview');
    expect(status).toBe(0);
    expect(out).toContain('Next: step 2 (advance)');
    expect(out).toContain('nothing was written');
    const json = await softknockJson<Revised>('revise', place, '--log', file, '--preview');
    expect(json).toMatchObject({ kit: code, version: 2, action: 'advance', nextStep: 2 });
    expect(json.sessions.map(({ date, step, outcome }) => [date, step, outcome])).toEqual([
      ['2027-05-18', 1, 'comfortable'],
      ['2027-05-19', 1, 'comfortable'],
    ]);
    expect(json.sessions[1]!.why).toContain('on to step 2');
    expect(json.plan[0]).toEqual({ date: '2027-05-21', step: 2 });
    expect(contents(place)).toEqual(before);
  });

  test('makes a new plan in the kit, which passes its check; audio is not written again', async () => {
    const place = copyOfKit();
    const step = path.join(place, 'steps', 'step-01.mp3');
    const before = statSync(step).mtimeMs;
    const file = writeLog({ date: '2027-05-18' }, { date: '2027-05-19' });
    expect((await softknock('revise', place, '--log', file)).status).toBe(0);
    const manifest = readManifest(place);
    expect(manifest.version).toBe(2);
    expect(manifest.history).toHaveLength(2);
    expect(manifest.sessions[0]).toMatchObject({ date: '2027-05-21', step: 2 });
    expect(statSync(step).mtimeMs).toBe(before);
    expect((await softknock('verify', place)).status).toBe(0);
    // The page opens what the plan has.
    expect(readFileSync(path.join(place, 'start-here.html'), 'utf8')).toContain('2027-05-21');

    const again = await softknock('revise', place, '--log', file);
    expect(again.out).toContain('Nothing new: plan 2 stands');
    expect(readManifest(place)).toEqual(manifest);
  });

  test('may be read from the code of the page', async () => {
    const place = copyOfKit();
    const { logCode } = pageFunctions(
      ['memory.js', 'days.js', 'log-code.js', 'log.js'],
      ['logCode'],
    ) as unknown as { logCode: (kit: string, practices: readonly object[]) => string[] };
    const practice = {
      time: '18:00',
      step: 1,
      volumeChecked: true,
      playedSeconds: 60,
      completed: true,
      cut: false,
      stoppedBy: '',
      childMark: '1',
      parentMark: '0',
      signs: [],
      note: '',
    };
    const noted = ['2027-05-18', '2027-05-19'].map(date => ({ ...practice, date }));
    const rows = logCode(code, noted).join(' ');
    const json = await softknockJson<Revised>('revise', place, '--code', rows, '--preview');
    expect(json).toMatchObject({ action: 'advance', nextStep: 2 });
    const typo = await softknock('revise', place, '--code', rows.replace(/^./, 'Q'));
    expect(typo.status).toBe(2);
    expect(typo.err).toContain('row 1');
  });
});

describe('a step that has to be made', () => {
  test('needs the study file, and says so; nothing is written', async () => {
    const place = copyOfKit();
    const before = contents(place);
    const { status, err } = await softknock('revise', place, '--log', onlyAllRight());
    expect(status).toBe(2);
    expect(err).toContain('step 1.5');
    expect(err).toContain('--study');
    expect(contents(place)).toEqual(before);
  });

  test('is made from it, halfway between its neighbours, measured', async () => {
    const place = copyOfKit();
    const result = await softknock('revise', place, '--log', onlyAllRight(), '--study', study);
    expect(result.status).toBe(0);
    const { steps } = readManifest(place);
    expect(steps.slice(0, 3).map(({ number, file }) => [number, file])).toEqual([
      [1, 'steps/step-01.mp3'],
      [1.5, 'steps/step-01b.mp3'],
      [2, 'steps/step-02.mp3'],
    ]);
    const loudest = steps.map(({ sounds }) => Math.max(...sounds.map(s => s.offsetDb)));
    expect(loudest[1]).toBeCloseTo((loudest[0]! + loudest[2]!) / 2, 1);
    // Decodes and measures every file.
    expect((await softknock('verify', place)).status).toBe(0);
  });

  test('is not made from another protocol', async () => {
    const other = path.join(folder, 'other.yaml');
    writeFileSync(
      other,
      readFileSync(study, 'utf8').replace('NumberOfSlices: 9', 'NumberOfSlices: 11'),
    );
    const args = ['revise', copyOfKit(), '--log', onlyAllRight(), '--study', other];
    const { status, err } = await softknock(...args);
    expect(status).toBe(2);
    expect(err).toContain('not the one that this kit was made from');
  });
});

describe('what stops practice', () => {
  test('closes every step until a person lets it begin again, below', async () => {
    const place = copyOfKit();
    const file = writeLog({ date: '2027-05-18' }, { date: '2027-05-19', step: '2', signs: 'pain' });
    const stopped = await softknock('revise', place, '--log', file);
    expect(stopped.status).toBe(0);
    expect(stopped.err).toContain('call the family today');
    expect(readManifest(place).sessions).toEqual([]);
    expect((await softknock('verify', place)).status).toBe(0);

    const tooHigh = await softknock(
      'revise',
      place,
      '--restart-at',
      '2',
      '--cleared-by',
      'A. Name',
    );
    expect(tooHigh.status).toBe(3);
    const nobody = await softknock('revise', place, '--restart-at', '1');
    expect(nobody.status).toBe(2);
    const again = ['revise', place, '--restart-at', '1', '--cleared-by', 'A. Name'];
    expect((await softknock(...again)).status).toBe(0);
    expect(readManifest(place).history.at(-1)!.restart).toEqual({ step: 1, clearedBy: 'A. Name' });
    expect(readManifest(place).sessions[0]!.step).toBe(1);
  });
});

describe('what is refused', () => {
  test('a kit that was changed by hand, by the name of the file', async () => {
    const place = copyOfKit();
    writeFileSync(path.join(place, 'guide.pdf'), 'x');
    const file = writeLog({ date: '2027-05-18' });
    const { status, err } = await softknock('revise', place, '--log', file);
    expect(status).toBe(2);
    expect(err).toContain('guide.pdf is not as it was written');
  });

  test('but not for a log that was written in', async () => {
    const place = copyOfKit();
    const inside = path.join(place, 'log.csv');
    cpSync(writeLog({ date: '2027-05-18' }), inside);
    expect((await softknock('revise', place, '--log', inside)).status).toBe(0);
    expect(readFileSync(inside, 'utf8')).toContain('2027-05-18');
    expect((await softknock('verify', place)).status).toBe(0);
  });

  test('a history that was written by hand is found by verify', async () => {
    const place = copyOfKit();
    await softknock('revise', place, '--log', writeLog({ date: '2027-05-18' }));
    const manifest = readManifest(place);
    const changed = manifest.sessions.map(session => ({ ...session, step: 2 }));
    const last = { ...manifest.history.at(-1)!, sessions: changed };
    const forged = { ...manifest, sessions: changed, history: manifest.history.with(-1, last) };
    writeFileSync(path.join(place, 'kit.json'), `${JSON.stringify(forged, null, 2)}\n`);
    const { status, err } = await softknock('verify', place);
    expect(status).toBe(2);
    expect(err).toContain('to which the log does not lead');
  });

  test.each([
    ['nothing to go by', [], 'nothing to revise'],
    ['log and code', ['--log', log, '--code', 'X'], 'one of them'],
    ['a day that is none', ['--scan-date', '2027-02-30'], 'a day of the calendar'],
    ['a folder that is no kit', ['--log', log], 'is not a kit'],
  ])('%s', async (what, options, words) => {
    const place = what.includes('folder') ? folder : built;
    const { status, err } = await softknock('revise', place, ...options);
    expect(status).toBe(2);
    expect(err).toContain(words);
  });
});
