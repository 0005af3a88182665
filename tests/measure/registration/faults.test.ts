import { describe, expect, it } from 'vitest';
import type { ChannelRegistration } from '../../../lib/measure/registration/channels.ts';
import { registrationFaults } from '../../../lib/measure/registration/faults.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';

const size = { width: 80, height: 70 };
const named = (...names: string[]) =>
  names.map((name) => ({
    name,
    source: planeSource(`${name}.fits`, { ...size, data: new Float32Array(size.width * size.height) }),
  }));
const at = (channel: string, dx: number, more: object = {}): ChannelRegistration => ({
  channel,
  reference: 'H',
  status: 'found',
  dx,
  dy: 0,
  rotation: 0,
  scale: 1,
  residual: 0,
  uncertainty: { shift: 0.01, rotation: 0, scale: 0 },
  tiles: [],
  ...more,
});
const unknown = (channel: string): ChannelRegistration => ({
  channel,
  reference: 'H',
  status: 'unknown',
  reason: 'no light',
});
const faults = (...registrations: ChannelRegistration[]) =>
  registrationFaults(named('S', 'H', 'O', 'N'), registrations);

describe('what does not lie in its place', () => {
  it('is named alone where another channel shows that the reference does', () => {
    expect(faults(at('S', 0.1), at('O', 5))).toEqual([
      { name: 'O', words: expect.stringMatching(/^O\.fits: O lies 5\.0 px right of H\. Register /) },
    ]);
  });

  it('is one of two, where there are no more: neither is blamed', () => {
    for (const registrations of [[at('O', 5)], [at('O', 5), unknown('S')]])
      expect(faults(...registrations)[0]!.words).toMatch(
        /^O\.fits and H\.fits do not fit: O lies 5\.0 px right of H\./,
      );
  });

  it('is the reference, where all others agree against it', () => {
    const found = faults(
      at('S', 5),
      at('O', 5.1),
      at('N', 4.9, { uncertainty: { shift: 0.2, rotation: 0, scale: 0 } }),
    );
    expect(found).toEqual([
      {
        name: 'H',
        words: expect.stringMatching(
          /^H\.fits: H lies 5\.0 px left of S, O and N\. Register the masters again, or move H /,
        ),
      },
    ]);
  });

  it('is each that lies elsewhere, where they agree on nothing', () => {
    expect(faults(at('S', 5), at('O', -5)).map(({ name }) => name)).toEqual(['S', 'O']);
  });

  it('is nothing where all fits, and a question where it is not known', () => {
    expect(faults(at('S', 0.1), at('O', 0.2))).toEqual([]);
    expect(faults()).toEqual([]);
    expect(faults(unknown('N'))).toEqual([{ name: 'N', words: 'N.fits: whether N lies on H is unknown: no light.' }]);
  });
});
