import '@fontsource-variable/atkinson-hyperlegible-next';
import './styles/themes.css';
import './styles/base.css';
import { mount } from 'svelte';
import App from './App.svelte';
import { askToKeepStorage } from './asking/keep-storage.ts';
import { StayAwake } from './asking/stay-awake.ts';
import { connectBench } from './client.ts';
import { loadLatePlaces } from './places/late-places.ts';
import { browserSounds } from './sound/announcer.ts';
import { Bench } from './state/bench.svelte.ts';
import { KeptSetup } from './state/kept-setup.ts';
import { Preferences } from './state/preferences.svelte.ts';
import { Route } from './state/route.svelte.ts';

/** The browser's store, or null where it is forbidden (the getter itself throws then). */
function storeOrNull(): Storage | null {
  try {
    return window.localStorage;
  } catch {
    return null;
  }
}

const preferences = new Preferences(storeOrNull());
const sounds = browserSounds(window, () => ({ tones: preferences.tones, voice: preferences.voice }));
const bench = new Bench({
  connect: connectBench,
  announcer: sounds,
  units: () => preferences.units,
  now_ms: () => performance.now(),
});
const awake = new StayAwake(navigator, document);
void askToKeepStorage(navigator);

mount(App, {
  target: document.getElementById('app') ?? document.body,
  props: {
    bench,
    preferences,
    keptSetup: new KeptSetup(storeOrNull()),
    route: new Route(window),
    hasVoice: () => sounds.hasVoice(),
    random: () => crypto.getRandomValues(new Uint32Array(1))[0] ?? 1,
    stayAwake: (wanted: boolean) => awake.want(wanted),
  },
});

// Two seconds after the start everything that the page needs is at hand, whatever becomes of the server.
setTimeout(() => void loadLatePlaces(), 2000);
