import { existsSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { checkFiles } from '../../lib/node/check-files.ts';
import { someOf } from '../cases.ts';

const data = '../shared/data';
const MASTERS: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  nebula: { S: 'm42/m42_sii_256_f32', H: 'm42/m42_ha_256_f32', O: 'm42/m42_oiii_256_f32' },
  mixed: { S: 'm42/m42_mixed_sii_590x584_f32', H: 'm42/m42_mixed_ha_590x584_f32', O: 'm42/m42_mixed_oiii_590x584_f32' },
  turned: {
    S: 'm42/m42_hst_f673n_300x301_nan_f32',
    H: 'm42/m42_hst_f656n_300x301_nan_f32',
    N: 'm42/m42_hst_f658n_300x301_nan_f32',
  },
  small: { H: 'ou5/ou5_ha', O: 'ou5/ou5_oiii', He: 'ou5/ou5_heii' },
};

describe.skipIf(!existsSync(data))('real masters', () => {
  it.each(someOf(Object.entries(MASTERS), 2))(
    'have no sure trail but the lines of the detector: %s',
    async (name, files) => {
      const inputs = Object.fromEntries(Object.entries(files).map(([line, file]) => [line, `${data}/${file}.fits`]));
      const { defects } = await checkFiles({ inputs });
      const sure = defects.filter(({ kind, certainty }) => kind === 'trail' && certainty === 'sure');
      // One of these masters was put together from stripes that run along its rows and columns.
      const along = ({ angle = 45 }: { angle?: number }) => Math.min(angle % 90, 90 - (angle % 90)) < 1.5;
      expect(sure.every(along)).toBe(true);
      expect([...new Set(sure.map(({ channel }) => channel))]).toEqual(name === 'mixed' ? ['O'] : []);
      const spots = defects.find(({ channel, kind }) => channel === 'O' && kind === 'spots');
      if (name === 'small') expect(spots!.count).toBeGreaterThanOrEqual(5);
    },
  );
});
