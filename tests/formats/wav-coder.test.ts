/**
 * The sample coder: every defect of `node-wav` 0.0.2 that we know, shown on the package itself, and that
 * ours does not have it. The samples' values are those of the formats' definitions.
 */
import nodeWav from 'node-wav';
import { describe, expect, test } from 'vitest';
import {
  decodeSamples,
  encodeFloats,
  encodeIntegers,
  isSampleFormat,
  WAV_HEADER_BYTES,
  wavHeader,
} from '../../src/formats/wav-coder.js';
import { WavEncoder } from '../../src/formats/wav-writer.js';
import { readWav } from '../../src/formats/wav.js';
import { floatWav, integerBytes, wavBytes } from '../helpers/wav-bytes.js';

/** The package's decoder takes memory, not a view of it. */
const memoryOf = (bytes: Uint8Array): ArrayBuffer => Uint8Array.from(bytes).buffer;

/** Options of the package's encoder. */
const PCM = (bitDepth: 16 | 24) => ({ sampleRate: 48_000, bitDepth, float: false }) as const;

const integer = (bits: 8 | 16 | 24 | 32) => ({ encoding: 'integer', bits }) as const;

describe('decodeSamples', () => {
  test.each([
    [8, [-128, -1, 0, 1, 127]],
    [16, [-32_768, -1, 0, 1, 32_767]],
    [24, [-8_388_608, -1, 0, 1, 8_388_607]],
  ] as const)(
    '%d-bit codes are code / 2^(bits-1), the lowest and the highest too',
    (bits, codes) => {
      const [samples] = decodeSamples(integerBytes(codes, bits), integer(bits), 1);
      expect([...samples!]).toEqual(codes.map(code => code / 2 ** (bits - 1)));
    },
  );

  test('every 16-bit code comes back', () => {
    const codes = Array.from({ length: 65_536 }, (_, i) => i - 32_768);
    const [samples] = decodeSamples(integerBytes(codes, 16), integer(16), 1);
    expect(codes.every((code, i) => samples![i] === code / 32_768)).toBe(true);
  });

  test('24-bit codes all over the range come back', () => {
    const codes = Array.from({ length: 20_000 }, (_, i) => ((i * 48_271) % 16_777_216) - 8_388_608);
    const [samples] = decodeSamples(integerBytes(codes, 24), integer(24), 1);
    expect(codes.every((code, i) => samples![i] === code / 8_388_608)).toBe(true);
  });

  test('32-bit codes come back to 24 bits', () => {
    const codes = [-2_147_483_648, -1_234_567_890, 0, 987_654_321, 2_147_483_647];
    const [samples] = decodeSamples(integerBytes(codes, 32), integer(32), 1);
    codes.forEach((code, i) => {
      expect(Math.abs(samples![i]! - code / 2 ** 31)).toBeLessThan(2 ** -24);
    });
  });

  test('floats of 32 and 64 bits come as they are, beyond full scale too', () => {
    const values = [-1.41, -0.1, 0, 0.5, 1.41];
    const float32 = new Uint8Array(Float32Array.from(values).buffer);
    const float64 = new Uint8Array(Float64Array.from(values).buffer);
    for (const [bytes, bits] of [
      [float32, 32],
      [float64, 64],
    ] as const) {
      const [samples] = decodeSamples(bytes, { encoding: 'float', bits }, 1);
      expect([...samples!]).toEqual(values.map(Math.fround));
    }
  });

  test('channels are told apart', () => {
    const bytes = integerBytes([1, 2, 3, 4, 5, 6], 16);
    const channels = decodeSamples(bytes, integer(16), 3);
    expect(channels.map(channel => channel.map(x => x * 32_768))).toEqual([
      Float64Array.of(1, 4),
      Float64Array.of(2, 5),
      Float64Array.of(3, 6),
    ]);
  });

  test('bytes that are not whole frames, and no channels, are refused', () => {
    expect(() => decodeSamples(new Uint8Array(3), integer(16), 1)).toThrow(
      new RangeError('bytes must be whole frames of 2, got 3'),
    );
    expect(() => decodeSamples(new Uint8Array(4), integer(16), 0)).toThrow(RangeError);
    expect(decodeSamples(new Uint8Array(0), integer(16), 2)).toEqual([
      new Float64Array(0),
      new Float64Array(0),
    ]);
  });
});

describe('encoding', () => {
  test.each([16, 24] as const)('%d-bit codes are written as they are', bits => {
    const top = 2 ** (bits - 1) - 1;
    const codes = [-top, -top + 1, -12_345, -2, -1, 0, 1, 2, 12_345, top - 1, top];
    const bytes = encodeIntegers([Float64Array.from(codes)], bits);
    expect(Uint8Array.from(bytes)).toEqual(integerBytes(codes, bits));
  });

  test('every 16-bit code is written as it is', () => {
    const codes = Array.from({ length: 65_535 }, (_, i) => i - 32_767);
    const bytes = encodeIntegers([Float64Array.from(codes)], 16);
    expect(Uint8Array.from(bytes)).toEqual(integerBytes(codes, 16));
  });

  test('floats are written as they are', () => {
    const values = [-1, -0.25, 0, 0.1, 1];
    const bytes = Uint8Array.from(encodeFloats([Float64Array.from(values)]));
    expect([...new Float32Array(bytes.buffer)]).toEqual(values.map(Math.fround));
  });

  test('formats that exist are known', () => {
    expect(isSampleFormat('integer', 24)).toBe(true);
    expect(isSampleFormat('float', 64)).toBe(true);
    expect(isSampleFormat('float', 24)).toBe(false);
    expect(isSampleFormat('integer', 64)).toBe(false);
  });

  test('the header is that of a plain WAV file', () => {
    const layout = { channels: 2, sampleRateHz: 44_100, dataBytes: 8 };
    const header = wavHeader(integer(16), layout);
    expect(header).toHaveLength(WAV_HEADER_BYTES);
    const bytes = wavBytes({ sampleRateHz: 44_100, channels: 2, data: new Uint8Array(8) });
    expect(header).toEqual(bytes.slice(0, WAV_HEADER_BYTES));
  });
});

describe('what node-wav gets wrong, ours gets right', () => {
  const four = integerBytes([100, -200, 300, -400], 16);
  const codesOf = (bytes: Uint8Array): number[] =>
    [...readWav(bytes).channels[0]!].map(x => Math.round(x * 32_768));

  test('1. a view into a larger buffer: it returns nothing', () => {
    const file = wavBytes({ data: four });
    const larger = new Uint8Array(5000 + file.length);
    larger.set(file, 5000);
    const view = larger.subarray(5000);
    expect(nodeWav.decode(view as unknown as ArrayBuffer)).toBeUndefined();
    expect(codesOf(view)).toEqual([100, -200, 300, -400]);
  });

  test('2. a chunk of odd size with its pad byte, or no data chunk: it returns nothing', () => {
    const padded = wavBytes({ data: four, before: [['LIST', new Uint8Array(5)]] });
    expect(nodeWav.decode(memoryOf(padded))).toBeUndefined();
    expect(codesOf(padded)).toEqual([100, -200, 300, -400]);
    expect(nodeWav.decode(memoryOf(wavBytes({ data: four }).slice(0, 36)))).toBeUndefined();
  });

  test('3. an extensible header: it refuses', () => {
    const file = wavBytes({ data: four, tag: 0xfffe });
    expect(() => nodeWav.decode(memoryOf(file))).toThrow('Unsupported format');
    expect(codesOf(file)).toEqual([100, -200, 300, -400]);
  });

  test('4. samples at an offset that is no multiple of their size: it refuses', () => {
    const file = floatWav([Float64Array.of(0.5)], 48_000, {
      before: [['junk', new Uint8Array(2)]],
    });
    expect(() => nodeWav.decode(memoryOf(file))).toThrow(RangeError);
    expect([...readWav(file).channels[0]!]).toEqual([0.5]);
  });

  test('5. the lowest 24-bit code: it turns it over', () => {
    const file = wavBytes({ data: integerBytes([-8_388_608], 24), bits: 24 });
    expect(nodeWav.decode(memoryOf(file))!.channelData[0]![0]).toBeGreaterThan(1);
    expect(readWav(file).channels[0]![0]).toBe(-1);
  });

  test('6. no channels, or frames of no bytes: it hangs or fails; ours says what is wrong', () => {
    for (const parts of [{ channels: 0 }, { frameBytes: 0 }, { channels: 0, frameBytes: 0 }]) {
      expect(() => readWav(wavBytes({ data: four, ...parts }))).toThrow('Cannot read');
    }
  });

  test('7. a size beyond the end of the file: it makes up samples; ours reads what is there', () => {
    const file = wavBytes({ data: integerBytes([1, 2, 3, 4], 16), claimedBytes: 1000 });
    expect(nodeWav.decode(memoryOf(file))!.channelData[0]).toHaveLength(500);
    const { channels, warnings } = readWav(file);
    expect(channels[0]).toHaveLength(4);
    expect(warnings[0]).toContain('claims 1000 bytes');
  });

  test('8. rounding: it cuts off, with twice the error; ours rounds with dither', () => {
    const sample = Float64Array.of(0.9 / 32_767);
    const theirs = nodeWav.encode([sample], PCM(16)).subarray(WAV_HEADER_BYTES);
    expect([...theirs]).toEqual([0, 0]);
    const length = 20_000;
    const encoder = new WavEncoder({ sampleRateHz: 48_000, channels: 1, length, seed: 'x' });
    const bytes = encoder.encode([new Float64Array(length).fill(0.9 / 32_767)]);
    const codes = [...new Int16Array(Uint8Array.from(bytes).buffer)];
    const mean = codes.reduce((sum, code) => sum + code, 0) / length;
    // Dithered, the mean is the value: within four standard errors of half a step.
    expect(Math.abs(mean - 0.9)).toBeLessThan((4 * 0.5) / Math.sqrt(length));
  });

  test('9. two scales: it reads 16384 and -16384 as different sizes; ours as one', () => {
    const file = wavBytes({ data: integerBytes([16_384, -16_384], 16) });
    const [up, down] = nodeWav.decode(memoryOf(file))!.channelData[0]!;
    expect(up! + down!).not.toBe(0);
    expect([...readWav(file).channels[0]!]).toEqual([0.5, -0.5]);
  });

  test('10. silence in 8 bits: it writes an offset; ours does not write 8 bits', () => {
    const encode = nodeWav.encode as unknown as (
      channels: Float64Array[],
      options: object,
    ) => Uint8Array;
    const bytes = encode([new Float64Array(1)], { sampleRate: 48_000, bitDepth: 8 });
    expect(bytes[WAV_HEADER_BYTES]).toBe(0x7f);
    expect(decodeSamples(Uint8Array.of(0x80), integer(8), 1)[0]![0]).toBe(0);
  });

  test('11. what is not finite or too loud: it writes something else; ours refuses', () => {
    const bad = [1.5, -1.001, Number.NaN, Infinity];
    const theirs = nodeWav.encode([Float64Array.from(bad)], PCM(16));
    expect([...new Int16Array(Uint8Array.from(theirs.subarray(WAV_HEADER_BYTES)).buffer)]).toEqual([
      32_767, -32_768, 0, 32_767,
    ]);
    for (const value of bad) {
      const encoder = new WavEncoder({ sampleRateHz: 48_000, channels: 1, length: 1, seed: '' });
      expect(() => encoder.encode([Float64Array.of(value)])).toThrow(
        `samples must be between -1 and 1 of full scale, got ${value}`,
      );
    }
  });

  test('12. channels of unequal length: it fills or cuts; ours refuses', () => {
    const unequal = [new Float64Array(2), new Float64Array(1)];
    expect(nodeWav.encode(unequal, PCM(16))).toHaveLength(WAV_HEADER_BYTES + 8);
    expect(() => encodeIntegers(unequal, 16)).toThrow('one length');
    expect(() => encodeIntegers([], 16)).toThrow('one length');
  });

  test('13. the sample rate: it has a default; ours has none', () => {
    const encode = nodeWav.encode as unknown as (
      channels: Float64Array[],
      options: object,
    ) => Uint8Array;
    const bytes = Uint8Array.from(encode([new Float64Array(1)], {}));
    expect(new DataView(bytes.buffer).getUint32(24, true)).toBe(16_000);
    const encoder = new WavEncoder({ sampleRateHz: 22_050, channels: 1, length: 0, seed: '' });
    expect(new DataView(encoder.header.buffer).getUint32(24, true)).toBe(22_050);
  });

  test('14. data of odd size: it adds no pad byte; ours does', () => {
    expect(nodeWav.encode([new Float64Array(1)], PCM(24))).toHaveLength(WAV_HEADER_BYTES + 3);
    const encoder = new WavEncoder({
      sampleRateHz: 48_000,
      channels: 1,
      length: 1,
      bits: 24,
      seed: '',
    });
    expect(encoder.encode([new Float64Array(1)])).toHaveLength(3);
    expect(encoder.finish()).toHaveLength(1);
  });

  test('15. more than 4 GiB: its sizes wrap; ours refuses before writing', () => {
    expect(
      () => new WavEncoder({ sampleRateHz: 48_000, channels: 2, length: 2 ** 30, seed: '' }),
    ).toThrow('up to 4 GiB');
  });
});
