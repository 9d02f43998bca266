/** Bit rates of a small kit: which is chosen, what is lost, what is refused. */
import { beforeAll, describe, expect, test } from 'vitest';
import { encodeMp3, Mp3Encoder } from '../../../src/formats/mp3-encoder.js';
import { decodeMp3 } from '../../../src/formats/mp3-decoder.js';
import { audioCoding, requireSize } from '../../../src/kit/audio/coding.js';
import { verifyKit } from '../../../src/kit/verify/verify-kit.js';
import { Meter } from '../../../src/levels/meter.js';
import { seededRandom } from '../../../src/signal/random.js';
import { soundOf } from '../../../src/signal/sound.js';
import { refusal } from '../../helpers/refusal.js';
import { buildSmallKit, readerOf, sha256Of, smallInputs } from '../../helpers/small-kit.js';

/** So many steps of one length, with the voice reference. */
const steps = (count: number, minutes: number): number[] => [
  30,
  ...Array.from({ length: count }, () => 60 * minutes),
];

describe('the bit rate', () => {
  test('is the usual one when the kit need not be small, however long it is', () => {
    expect(audioCoding(steps(20, 20), false)).toEqual({
      bitrateKbps: 64,
      lostAboveHertz: null,
      limitBytes: null,
    });
  });

  test.each([
    // 64 kbit/s are 8 000 bytes a second: 29 MB hold 60 min; 48 kbit/s 80 min; 40 kbit/s 96 min.
    [59, 64],
    [61, 48],
    [79, 48],
    [81, 40],
    [95, 40],
  ])('for %d min in 30 MB is %d kbit/s', (minutes, bitrateKbps) => {
    const coding = audioCoding(steps(10, minutes / 10), true);
    expect(coding.bitrateKbps).toBe(bitrateKbps);
    expect(coding.limitBytes).toBe(30_000_000);
    expect(coding.lostAboveHertz === null).toBe(bitrateKbps === 64);
  });

  test('is not lowered further: what cannot fit is refused with figures', () => {
    const { code, problems } = refusal(() => audioCoding(steps(10, 12), true));
    expect(code).toBe('BAD_USAGE');
    // 120.5 min at 5 000 bytes a second are 36.2 MB, and 1 MB for page and guide.
    expect(problems[0]!.found).toContain('121 min of audio: 37.2 MB at 40 kbit/s');
    expect(problems[0]!.allowed).toBe('30 MB: 96 min of audio');
  });

  test('a kit that came out larger than it may is held', () => {
    const coding = audioCoding(steps(1, 1), true);
    expect(() => {
      requireSize(30_000_001, coding);
    }).toThrow('30000001 bytes');
    requireSize(30_000_000, coding);
  });
});

describe('what is lost', () => {
  let encoder: Mp3Encoder;
  beforeAll(async () => {
    encoder = await Mp3Encoder.create();
  });

  const bandsOf = (samples: Float64Array) => {
    const meter = new Meter({ sampleRateHz: 44_100 });
    meter.push([samples]);
    return meter.result().thirdOctaves;
  };

  test.each([61, 81])(
    'of %d min is what the coding says: noise below is kept, above is gone',
    async minutes => {
      const { bitrateKbps, lostAboveHertz } = audioCoding(steps(10, minutes / 10), true);
      const random = seededRandom('noise');
      const noise = Float64Array.from({ length: 5 * 44_100 }, () => 0.05 * random.normal());
      const { channels } = await decodeMp3(encodeMp3(encoder, soundOf(noise), bitrateKbps));
      const coded = bandsOf(channels[0]!);
      for (const [i, { nominalHz, levelDbfs }] of bandsOf(noise).entries()) {
        const change = coded[i]!.levelDbfs - levelDbfs;
        // Upper edge of a third octave: 10^(1/20) times its middle.
        if (nominalHz >= 100 && nominalHz * 1.122 <= lostAboveHertz! * 1.01) {
          expect(Math.abs(change)).toBeLessThan(2);
        }
        if (nominalHz > 1.3 * lostAboveHertz!) expect(change).toBeLessThan(-30);
      }
    },
  );
});

describe('a kit at the lowest rate', async () => {
  // What audioCoding chooses depends on length; here the files themselves are made so.
  const inputs = smallInputs({}, { scanDate: '2027-03-06' }, { small: true });
  const encoder = await Mp3Encoder.create();
  const kit = await buildSmallKit(inputs, {
    encodeMp3: sound => Promise.resolve(encodeMp3(encoder, sound, 40)),
  });

  test('passes its own check: levels, peaks and rises hold after coding', async () => {
    const { problems, unsafe, steps } = await verifyKit(readerOf(kit.manifest.kit, kit.files), {
      sha256Of,
      absent: [],
    });
    expect(problems).toEqual([]);
    expect(unsafe).toEqual([]);
    for (const { offsetDb, measuredOffsetDb } of steps.flatMap(({ sounds }) => sounds)) {
      expect(Math.abs(measuredOffsetDb - offsetDb)).toBeLessThan(0.1);
    }
  });

  test('says that nothing was lost where nothing was, in its notes', () => {
    expect(kit.manifest.coding).toEqual({
      bitrateKbps: 64,
      lostAboveHertz: null,
      limitBytes: 30_000_000,
    });
    expect(kit.manifest.notes.join()).toContain('fits in 30 MB at the usual bit rate');
    expect(new TextDecoder().decode(kit.files.get('README.txt'))).not.toContain('kHz');
  });
});
