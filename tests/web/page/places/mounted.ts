/** The whole page over a fake worker. Every test starts from a clean one. */
import { cleanup, render } from '@testing-library/svelte';
import { vi } from 'vitest';
import App from '../../../../web/App.svelte';
import { loadLatePlaces } from '../../../../web/places/late-places.ts';
import { Bench } from '../../../../web/state/bench.svelte.ts';
import { KeptSetup } from '../../../../web/state/kept-setup.ts';
import { Preferences } from '../../../../web/state/preferences.svelte.ts';
import { Route } from '../../../../web/state/route.svelte.ts';
import { FakeBench } from '../fake-bench.ts';

// There is no canvas here: what the plot draws is tested with the charts and in a browser.
vi.mock('../../../../web/charts/trace-plot.ts', () => ({
  makeTracePlot: () => ({ show: () => undefined, resize: () => undefined, destroy: () => undefined }),
}));

// As in a page that has been open for a moment.
await loadLatePlaces();

export function mountPage(store: Pick<Storage, 'getItem' | 'setItem'> | null = null) {
  cleanup();
  window.location.hash = '#/bench';
  const fake = new FakeBench();
  const preferences = new Preferences(null);
  const told: string[] = [];
  const awake: boolean[] = [];
  const bench = new Bench({
    connect: fake.connect,
    announcer: { arm: () => told.push('armed'), tell: (kind) => told.push(kind) },
    units: () => preferences.units,
    now_ms: () => 0,
  });
  const route = new Route(window);
  const props = {
    bench,
    preferences,
    keptSetup: new KeptSetup(store),
    route,
    hasVoice: () => false,
    random: () => 1234,
    stayAwake: (wanted: boolean) => awake.push(wanted),
  };
  render(App, { props });
  return { fake, bench, preferences, told, awake, route };
}
