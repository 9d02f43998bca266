/** `softknock kit` and `softknock verify`, as a user runs them, with two scans of the demo study. */
import { spawn } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { unzipSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import type { Manifest } from '../../src/kit/manifest/manifest.js';
import { softknock, softknockJson, temporaryFolder } from '../helpers/cli.js';
import { NIGHT_SKY, ROOT } from '../helpers/study.js';

const folder = await temporaryFolder();

/** Four days ahead of today: room for the first step, which is the quickest kit there is. */
const NEAR = '2027-05-24';

const listing = (place: string): string[] =>
  existsSync(place) ? readdirSync(place, { recursive: true, encoding: 'utf8' }).sort() : [];

/** The demo study with more in its plan. */
function studyWith(name: string, plan: string): string {
  const text = readFileSync(NIGHT_SKY, 'utf8');
  const file = path.join(folder, name);
  writeFileSync(file, text.replace(/^plan:$/m, `plan:\n${plan}`));
  return file;
}

/** The first and the third scan of the demo study: a kit of them is built in a third of the time. */
const TWO_SCANS = path.join(folder, 'two-scans.yaml');
{
  const text = readFileSync(NIGHT_SKY, 'utf8');
  const [head, ...rest] = text.split(/^(?= {2}- name: )/m);
  const [scans, tail] = [rest.slice(0, -1), rest.at(-1)!];
  const kept = scans.filter(scan => /name: (?:localiser|fieldmap-gre)$/m.test(scan));
  const settings = tail.slice(tail.indexOf('\nplan:')).replace(/ {2}order:\n.*\n/, '');
  writeFileSync(TWO_SCANS, [head, ...kept, settings].join(''));
}

describe('a kit', () => {
  const out = path.join(folder, 'out');
  const build = [
    'kit',
    TWO_SCANS,
    '--family',
    'F012',
    '--age',
    '7',
    '--scan-date',
    NEAR,
    '--out',
    out,
  ];
  let kit: Manifest;
  const place = (): string => path.join(out, kit.kit);

  test('is built, and says as JSON what it is', async () => {
    kit = await softknockJson<Manifest>(...build);
    expect(kit.steps).toHaveLength(1);
    expect(kit.sessions.map(({ date }) => date)).toEqual([
      '2027-05-21',
      '2027-05-22',
      '2027-05-23',
    ]);
    expect(listing(out)[0]).toBe(kit.kit);
    expect(listing(place())).toEqual(
      expect.arrayContaining(['start-here.html', 'guide.pdf', 'kit.json', 'steps/step-01.mp3']),
    );
  });

  test('holds the family’s id nowhere, and passes its own check', async () => {
    const { status, out: text } = await softknock('verify', place(), '--absent', 'F012');
    expect(status).toBe(0);
    expect(text).toContain(`Kit ${kit.kit} is as it was built`);
  });

  test('built again is the same, byte for byte', async () => {
    const before = listing(place()).filter(file => path.extname(file) !== '');
    const bytes = before.map(file => readFileSync(path.join(place(), file)));
    const { status, out: text } = await softknock(...build);
    expect(status).toBe(0);
    expect(text).toContain(`Kit ${kit.kit} for 7-9 years is in`);
    expect(text).toContain('Next:');
    expect(before.length).toBeGreaterThan(7);
    for (const [i, file] of before.entries()) {
      expect(Buffer.compare(readFileSync(path.join(place(), file)), bytes[i]!)).toBe(0);
    }
  });

  test('is not overwritten once a family has written in its log', async () => {
    const log = path.join(place(), 'log.csv');
    const written = `${readFileSync(log, 'utf8')}${kit.kit},1,2027-05-21\r\n`;
    writeFileSync(log, written);
    const { status, err } = await softknock(...build);
    expect(status).toBe(2);
    expect(err).toContain('log.csv is not as it was written');
    expect(readFileSync(log, 'utf8')).toBe(written);
    expect((await softknock('verify', place())).status).toBe(0);
  });

  test('is not searched for what stands in any file by chance', async () => {
    const { status, err } = await softknock('verify', place(), '--absent', 'F1');
    expect(status).toBe(2);
    expect(err).toContain('at least 4 characters');
  });

  test('with a step that was exchanged fails its check, with every problem', async () => {
    writeFileSync(
      path.join(place(), 'steps/step-01.mp3'),
      readFileSync(path.join(place(), 'voice-reference.mp3')),
    );
    writeFileSync(path.join(place(), 'extra.txt'), 'x');
    const { status, out: text, err } = await softknock('verify', place(), '--json');
    // Its sounds start at once instead of with their fade.
    expect(status).toBe(3);
    const result = JSON.parse(text) as Record<'problems' | 'unsafe', { where: string }[]> & {
      ok: boolean;
    };
    expect(result.unsafe.map(({ where }) => where.split(' ')[0])).toContain('steps/step-01.mp3');
    expect(result.ok).toBe(false);
    expect(new Set(result.problems.map(({ where }) => where.split(' ')[0]))).toEqual(
      new Set(['steps/step-01.mp3', 'extra.txt']),
    );
    expect(err).toContain('extra.txt');
  });
});

test('there is no disc for a child who is scanned asleep', async () => {
  const build = ['kit', TWO_SCANS, '--age', '0.5', '--disc', '--out', path.join(folder, 'disc')];
  const { status, err } = await softknock(...build);
  expect(status).toBe(3);
  expect(err).toContain('--disc');
});

test('with --staff, card and labels are beside the kit and not in it', async () => {
  const out = path.join(folder, 'with-staff');
  const build = ['kit', TWO_SCANS, '--age', '7', '--scan-date', NEAR, '--out', out, '--staff'];
  const { status, out: text } = await softknock(...build);
  expect(status).toBe(0);
  const [code, forStaff] = readdirSync(out).sort();
  expect(forStaff).toBe(`${code!}-for-staff`);
  expect(listing(path.join(out, forStaff!))).toEqual([
    'labels.pdf',
    'loudness.txt',
    'practice-room.mp3',
    'staff-card.pdf',
  ]);
  expect(listing(path.join(out, code!))).toContain('picture-card.pdf');
  expect(listing(path.join(out, code!)).join()).not.toMatch(/staff|label/);
  expect(text).toContain(forStaff);
  // Our own files are replaced, anything else stays and stops the build.
  writeFileSync(path.join(out, forStaff!, 'notes.txt'), 'mine');
  const again = await softknock(...build);
  expect(again.status).toBe(2);
  expect(again.err).toContain('notes.txt');
});

test('a kit as one file to send holds the folder, and is never overwritten', async () => {
  const out = path.join(folder, 'packed');
  const build = ['kit', TWO_SCANS, '--age', '7', '--scan-date', NEAR, '--out', out, '--zip'];
  const { status, out: text } = await softknock(...build);
  expect(status).toBe(0);
  const [code, archive] = listing(out).filter(name => !name.includes('/'));
  expect(archive).toBe(`${code!}.zip`);
  expect(text).toContain(archive);
  const files = unzipSync(readFileSync(path.join(out, archive!)));
  expect(Object.keys(files)[0]).toBe(`${code!}/README.txt`);
  for (const [name, bytes] of Object.entries(files)) {
    expect(Buffer.compare(readFileSync(path.join(out, name)), bytes)).toBe(0);
  }
  expect(Object.keys(files)).toHaveLength(
    listing(path.join(out, code!)).filter(name => name !== 'steps').length,
  );
  const again = await softknock(...build);
  expect(again.status).toBe(2);
  expect(again.err).toContain(`${archive!} is there already`);
});

describe('is refused, with nothing written,', () => {
  const out = path.join(folder, 'refused');
  const refused = async (...args: string[]) => {
    const result = await softknock('kit', ...args, '--out', out);
    expect(existsSync(out)).toBe(false);
    return result;
  };

  test('a ceiling that could hurt: exit 3, with limit, wish and what is allowed', async () => {
    const study = studyWith(
      'loud.yaml',
      "  ceiling: { laeqDba: 75, approvedBy: A. Udiologist, reason: test, date: '2027-01-05' }",
    );
    const { status, err } = await refused(study, '--age', '7');
    expect(status).toBe(3);
    expect(err).toContain('Refused for safety');
    expect(err).toContain('a ceiling of 75 dBA');
    expect(err).toContain('at most 67 dBA');
  });

  test('a child in a study whose plans are for adults: exit 3', async () => {
    const study = studyWith('adults.yaml', '  ageBand: adult');
    const { status, err } = await refused(study, '--age', '12');
    expect(status).toBe(3);
    expect(err).toContain('limits of an adult');
  });

  test('options that make no sense: exit 2, all of them at once', async () => {
    const { status, err } = await refused(
      NIGHT_SKY,
      '--age',
      'seven',
      '--scan-date',
      '14.6.2027',
      '--family',
      '',
      '--small',
      '--disc',
    );
    expect(status).toBe(2);
    for (const word of [
      '--small together with --disc',
      '--age',
      'seven',
      '--scan-date',
      '14.6.2027',
      '--family',
    ]) {
      expect(err).toContain(word);
    }
  });

  test.each([
    ['a scan tomorrow', [NIGHT_SKY, '--scan-date', '2027-05-21'], 'too near'],
    ['a study that is not there', ['no-such-study.yaml'], 'no such file'],
  ])('%s: exit 2', async (_what, args, message) => {
    const { status, err } = await refused(...args);
    expect(status).toBe(2);
    expect(err).toContain(message);
  });
});

test('a place that holds something else is not touched', async () => {
  const place = path.join(folder, 'a-file');
  writeFileSync(place, 'mine');
  const { status, err } = await softknock('kit', TWO_SCANS, '--scan-date', NEAR, '--out', place);
  expect(status).toBe(2);
  expect(err).toContain('a file where a folder should be');
  expect(readFileSync(place, 'utf8')).toBe('mine');
});

test('verify refuses what is no kit', async () => {
  expect((await softknock('verify', path.join(folder, 'nowhere'))).status).toBe(2);
  const { status, err } = await softknock('verify', path.join(ROOT, 'src'));
  expect(status).toBe(2);
  expect(err).toContain('is not a kit');
});

test('--help shows the cautions and an example', async () => {
  const { status, out } = await softknock('kit', '--help');
  expect(status).toBe(0);
  for (const words of [
    'Cautions',
    'harms hearing',
    'no headphones',
    'audiologist',
    'does not promise',
    'Examples',
  ]) {
    expect(out.replace(/\s+/g, ' ')).toContain(words);
  }
});

test('stopped by Ctrl+C it ends with 130 and leaves nothing behind', async () => {
  const out = path.join(folder, 'stopped');
  const child = spawn(
    process.execPath,
    [path.join(ROOT, 'bin/softknock.js'), 'kit', TWO_SCANS, '--age', '7', '--out', out],
    { stdio: ['ignore', 'ignore', 'pipe'] },
  );
  let err = '';
  child.stderr.on('data', (text: Buffer) => (err += text.toString()));
  const ended = new Promise<number | null>(resolve => child.on('exit', resolve));
  // Until it has begun to write.
  while (!listing(out).some(file => file.endsWith('voice-reference.mp3'))) {
    if (child.exitCode !== null) throw new Error(`ended too early: ${err}`);
    await pause(20);
  }
  child.kill('SIGINT');
  expect(await ended).toBe(130);
  expect(err).toContain('Stopped. Nothing half-written is left.');
  expect(existsSync(out)).toBe(false);
});
