/** What is written is read back, whatever the study. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FAMILY_FIELDS } from '../../src/protocol/families.js';
import {
  FIELDS,
  type FieldName,
  type FieldSpec,
  type FieldValue,
} from '../../src/protocol/fields.js';
import type { Sourced } from '../../src/protocol/origin.js';
import { pruneFields } from '../../src/import/prune-fields.js';
import { readStudyFile } from '../../src/protocol/read-study-file.js';
import { type ScanFields, SCAN_TYPES } from '../../src/protocol/scan.js';
import {
  type DraftScan,
  type StudyDraft,
  writeStudyFile,
} from '../../src/protocol/write-study-file.js';

const text = fc
  .oneof(
    fc.string({ minLength: 1, maxLength: 60 }),
    fc.string({ unit: 'grapheme', minLength: 1, maxLength: 30 }),
    fc.constantFrom(
      'null',
      'yes',
      '~',
      '12',
      '1e3',
      '- a',
      'a: b',
      '# a',
      '+49 1',
      '"',
      "it's",
      '{a}',
      ':\u00a0',
      'a\u3000',
      '*a',
    ),
  )
  .filter(
    line =>
      line.trim() !== '' &&
      !/[\p{Cc}\p{Zl}\p{Zp}\u202a-\u202e\u2066-\u2069\ud800-\udfff]/u.test(line),
  );

function fieldValue(name: FieldName): fc.Arbitrary<FieldValue> {
  const { kind, min, max, count, choices }: FieldSpec = FIELDS[name];
  // Adding 0 makes a negative zero a zero, as text does.
  const number = fc.double({ min: min ?? 0, max: max ?? 1, noNaN: true }).map(x => x + 0);
  switch (kind) {
    case 'number':
      return number;
    case 'whole':
      return fc.integer({ min: min!, max: max! });
    case 'numbers':
      return fc.array(number, {
        minLength: count![0],
        maxLength: Math.max(count![0], Math.min(count![1], 5)),
      });
    case 'boolean':
      return fc.boolean();
    case 'choice':
      return fc.constantFrom(...choices!);
  }
}

const sourced = <T>(value: fc.Arbitrary<T>): fc.Arbitrary<Sourced<T>> =>
  fc.record({
    value,
    origin: fc.constantFrom('given', 'derived', 'assumed'),
    why: fc.oneof(text, fc.constant('two\nlines # and: more\u2028')),
  });

const scan = fc.constantFrom(...SCAN_TYPES).chain(type =>
  fc
    .record(
      Object.fromEntries(FAMILY_FIELDS[type].map(name => [name, sourced(fieldValue(name))])),
      { requiredKeys: [] },
    )
    .chain(fields =>
      fc.record({
        type: fc.constant(type),
        fields: fc.constant(pruneFields(type, fields as ScanFields).fields),
        plainName: text,
        notes: fc.array(text, { maxLength: 2 }),
        missing: fc.subarray([...FAMILY_FIELDS[type]], {
          maxLength: Math.min(3, FAMILY_FIELDS[type].length),
        }),
      }),
    ),
);

const draft: fc.Arbitrary<StudyDraft> = fc.record({
  notes: fc.array(text, { maxLength: 2 }),
  study: fc.record({ name: text, contact: fc.record({ name: text, phone: text }), seed: text }),
  scanner: fc.record({
    name: text,
    MagneticFieldStrength: sourced(fc.double({ min: 0.05, max: 12, noNaN: true })),
    MaximumSlewRate: sourced(fc.integer({ min: 10, max: 1000 })),
  }),
  scans: fc
    .array(scan, { minLength: 1, maxLength: 4 })
    .map((scans): DraftScan[] => scans.map((one, i) => ({ name: `scan-${i}`, ...one }))),
  plan: fc.record({
    order: fc.constant(['scan-0']),
    ceiling: fc.record({ laeqDba: fc.constant(60), reason: text }),
  }),
  texts: fc.record({ guideNote: fc.string({ unit: 'grapheme', maxLength: 80 }) }),
  approval: fc.record({ reference: text, date: fc.constant('2027-01-31') }),
});

describe('a study file', () => {
  test('reads back as it was written: names, texts, and every number exactly', () => {
    fc.assert(
      fc.property(draft, written => {
        const study = readStudyFile(writeStudyFile(written), 'study.yaml');
        expect(study.study).toEqual({ language: 'en', ...written.study });
        expect(study.scanner).toEqual({
          name: written.scanner.name,
          MagneticFieldStrength: written.scanner.MagneticFieldStrength.value,
          MaximumSlewRate: written.scanner.MaximumSlewRate!.value,
        });
        expect(study.plan).toEqual(written.plan);
        expect(study.texts).toEqual(written.texts);
        expect(study.approval).toEqual(written.approval);
        for (const [i, { name, plainName, type, fields }] of written.scans.entries()) {
          const values = Object.entries(fields).map(([key, { value }]) => [key, value]);
          expect(study.scans[i]).toMatchObject({ name, plainName, type });
          expect(study.scans[i]!.fields).toEqual(Object.fromEntries(values));
        }
      }),
      { numRuns: 150, seed: 4 },
    );
  });

  test('says beside each value its unit, its origin and why', () => {
    const written = writeStudyFile({
      study: { name: 'Night Sky Study', contact: { phone: '+00 000 0000' } },
      scanner: { MagneticFieldStrength: { value: 3, origin: 'assumed', why: 'usual' } },
      scans: [
        {
          name: 'func',
          type: 'echo-planar',
          fields: {
            NumberOfSlices: { value: 60, origin: 'derived', why: '60 entries of SliceTiming' },
            RepetitionTime: { value: 0.0000005 + 0.9, origin: 'given', why: 'the sidecar' },
          },
          missing: ['EchoTime'],
        },
      ],
    });
    expect(written.split('\n')).toEqual([
      'softknock: 1',
      '',
      'study:',
      '  name: Night Sky Study',
      '  contact:',
      '    phone: "+00 000 0000"',
      '',
      'scanner:',
      '  MagneticFieldStrength: 3 # T, assumed: usual',
      '',
      '# In the order of the scan day. Field names and units follow BIDS.',
      'scans:',
      '  - name: func',
      '    type: echo-planar',
      '    RepetitionTime: 0.9000005 # s, given: the sidecar',
      '    NumberOfSlices: 60 # derived: 60 entries of SliceTiming',
      '    # Not found in the files, so estimated unless you add it: EchoTime.',
      '',
    ]);
  });
});
