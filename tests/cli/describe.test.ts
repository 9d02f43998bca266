/** `describe`: what people read, and what it refuses. */
import { readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { softknock, softknockJson, temporaryFolder } from '../helpers/cli.js';
import { withExtensions } from '../helpers/tiny-sequences.js';

const folder = await temporaryFolder();

async function study(name: string, scanner: string): Promise<string> {
  const file = path.join(folder, name);
  await writeFile(
    file,
    `softknock: 1
study: { name: Test study, contact: { email: test@example.org } }
scanner: { MagneticFieldStrength: 3${scanner} }
scans:
  - name: pause
    type: pause
    Duration: 5
  - name: look
    type: localiser
`,
  );
  return file;
}

interface Levels {
  readonly scans: readonly {
    readonly levels: Readonly<Record<'boreLaeqDba' | 'protectedLaeqDba', { expected: number }>>;
  }[];
}

describe('hearing protection', () => {
  test('that the study names is what the scans are heard under', async () => {
    const levelUnder = async (protection: string): Promise<number> => {
      const file = await study(`${protection}.yaml`, `, protection: ${protection}`);
      const { scans } = await softknockJson<Levels>('describe', file, '--scan', 'look');
      return scans[0]!.levels.protectedLaeqDba.expected;
    };
    const [both, plugs, earphones] = [
      await levelUnder('plugs-and-muffs'),
      await levelUnder('plugs'),
      await levelUnder('padded-earphones'),
    ];
    expect(both).toBeLessThan(plugs);
    expect(plugs).toBeLessThan(earphones);
  });

  test('that is not known is refused, with a guess', async () => {
    const file = await study('wrong.yaml', ', protection: plug');
    const { status, err } = await softknock('describe', file);
    expect(status).toBe(2);
    expect(err).toContain('wrong.yaml:3 scanner.protection');
    expect(err).toContain('Did you mean plugs?');
  });
});

describe('a response of the scanner’s own', () => {
  test('is read from a table beside the study file', async () => {
    const rows = [100, 200, 400, 800, 1200, 1600, 2400, 4000].map(hertz => `${hertz},0.1`);
    await writeFile(path.join(folder, 'Own response.csv'), `hertz,x\n${rows.join('\n')}\n`);
    const file = await study('own.yaml', ', response: Own response.csv');
    const { scans } = await softknockJson<Levels>('describe', file, '--scan', 'look');
    expect(scans[0]!.levels.boreLaeqDba.expected).toBeGreaterThan(70);
  });

  test('that is missing is refused by its name', async () => {
    const file = await study('missing.yaml', ', response: nowhere.csv');
    const { status, err } = await softknock('describe', file);
    expect(status).toBe(2);
    expect(err).toContain('nowhere.csv');
  });
});

test('a scan that is not there is refused with the names that are', async () => {
  const { status, err } = await softknock('describe', await study('a.yaml', ''), '--scan', 'lok');
  expect(status).toBe(2);
  expect(err).toContain('pause, look');
  expect(err).toContain('Did you mean look?');
});

test('of a Pulseq file with an extension that is not known it says what may be missing; so does import', async () => {
  const text = withExtensions('1 7 1 0\nextension FLUX_CAPACITOR 7\n1 88');
  await writeFile(path.join(folder, 'flux.seq'), text);
  const file = await study('flux.yaml', '');
  await writeFile(
    file,
    `softknock: 1
study: { name: Test study, contact: { email: test@example.org } }
scanner: { MagneticFieldStrength: 3 }
scans:
  - { name: flux, type: pulseq, file: flux.seq }
`,
  );
  const words = 'the extension FLUX_CAPACITOR, which is not known here';
  expect((await softknock('describe', file)).err).toContain(words);
  const imported = path.join(folder, 'imported.yaml');
  await softknock('import', path.join(folder, 'flux.seq'), '--out', imported);
  expect((await readFile(imported, 'utf8')).replace(/\s*\n\s*#\s*/g, ' ')).toContain(words);
});
