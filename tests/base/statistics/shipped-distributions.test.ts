import { fileURLToPath } from 'node:url';
import snedecorQuantile from '@stdlib/stats-base-dists-f-quantile';
import chisquareCdf from '@stdlib/stats-base-dists-chisquare-cdf';
import studentQuantile from '@stdlib/stats-base-dists-t-quantile';
import { build, type Rolldown } from 'vite';
import { describe, expect, it } from 'vitest';
import type * as Distributions from '../../../src/base/statistics/distributions.ts';
import config from '../../../vite.config.ts';

/** The distributions as the worker ships them: bundled with the build's own replacements for parts of the library. */
async function shipped(): Promise<typeof Distributions> {
  const built = await build({
    configFile: false,
    logLevel: 'silent',
    publicDir: false,
    ...(config.resolve === undefined ? {} : { resolve: config.resolve }),
    build: {
      write: false,
      minify: false,
      lib: {
        entry: fileURLToPath(new URL('../../../src/base/statistics/distributions.ts', import.meta.url)),
        formats: ['es'],
        fileName: 'distributions',
      },
    },
  });
  const [first] = (Array.isArray(built) ? built : [built]) as Rolldown.RolldownOutput[];
  const { code } = first!.output[0];
  return (await import(
    /* @vite-ignore */ `data:text/javascript;base64,${Buffer.from(code).toString('base64')}`
  )) as typeof Distributions;
}

describe('the distributions as the worker ships them', () => {
  it('agree with the whole library', async () => {
    const { tQuantile, fQuantile, chiSquareCdf } = await shipped();
    for (const p of [0.025, 0.5, 0.8, 0.975, 0.995])
      for (const df of [1, 2.5, 4, 14, 100, 1e5]) {
        const t = studentQuantile(p, df);
        expect(Math.abs(tQuantile(p, df) - t), `t ${p} ${df}`).toBeLessThan(1e-9 * (1 + Math.abs(t)));
        expect(fQuantile(p, df, 8) / snedecorQuantile(p, df, 8), `F ${p} ${df}`).toBeCloseTo(1, 8);
        for (const x of [0.1, 1, 7, 40]) expect(chiSquareCdf(x, df)).toBeCloseTo(chisquareCdf(x, df), 12);
      }
    // Printed tables: t(0.975, 4) = 2.776 (NIST e-Handbook), F(0.95; 6, 15) = 2.7905 (recomputed, see check-values).
    expect(tQuantile(0.975, 4)).toBeCloseTo(2.776445105, 8);
    expect(fQuantile(0.95, 6, 15)).toBeCloseTo(2.7905, 4);
  });
});
