/** The text that a protocol's hash is taken of. */
import { expect, test } from 'vitest';
import { protocolText } from '../../../src/kit/manifest/protocol-text.js';
import { assumed, given } from '../../../src/protocol/origin.js';
import type { Scan, Scanner } from '../../../src/protocol/scan.js';

const SCANNER: Scanner = {
  MagneticFieldStrength: given(3, 'study.yaml:4'),
  MaximumGradientAmplitude: given(80, 'study.yaml:5'),
  MaximumSlewRate: given(200, 'study.yaml:6'),
  response: given('generic-3t', 'study.yaml:7'),
  protection: given('plugs', 'study.yaml:8'),
};

const scan = (name: string, fields: Scan['fields']): Scan => ({
  name,
  plainName: name,
  type: 'localiser',
  fields,
});

const FIELDS = {
  RepetitionTime: given(0.0086, 'study.yaml:9'),
  EchoTime: given(0.004, 'study.yaml:10'),
};

const text = protocolText(SCANNER, [scan('a', FIELDS), scan('b', FIELDS)]);

test('does not depend on where a value is from, nor on the order of fields, nor on plain names', () => {
  const same = {
    EchoTime: assumed(0.004, 'elsewhere'),
    RepetitionTime: given(0.0086, 'other.yaml:1'),
  };
  const renamed = { ...scan('b', FIELDS), plainName: 'Another star' };
  expect(protocolText(SCANNER, [scan('a', same), renamed])).toBe(text);
});

test('changes with any value, scan, order or the scanner', () => {
  const changed = { ...FIELDS, EchoTime: given(0.005, 'study.yaml:10') };
  const others = [
    protocolText(SCANNER, [scan('a', changed), scan('b', FIELDS)]),
    protocolText(SCANNER, [scan('b', FIELDS), scan('a', FIELDS)]),
    protocolText(SCANNER, [scan('a', FIELDS)]),
    protocolText({ ...SCANNER, MaximumSlewRate: given(180, '') }, [
      scan('a', FIELDS),
      scan('b', FIELDS),
    ]),
  ];
  expect(new Set([text, ...others]).size).toBe(5);
});
