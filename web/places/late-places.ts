/** What the page does not need to begin: results, the Rack, the Log. Fetched when it has nothing else to do, or when asked for. */
import { Late } from '../parts/late.svelte.ts';

export const latePlaces = {
  sweepDone: new Late(() => import('./bench/SweepDone.svelte')),
  handTimer: new Late(() => import('./bench/HandTimer.svelte')),
  openCapture: new Late(() => import('./bench/OpenCapture.svelte')),
  checks: new Late(() => import('./bench/checks/ChecksPlace.svelte')),
  rigCheck: new Late(() => import('./bench/rig-check/RigCheckPlace.svelte')),
  rack: new Late(() => import('./rack/RackPlace.svelte')),
  log: new Late(() => import('./log/LogPlace.svelte')),
};

export async function loadLatePlaces(): Promise<void> {
  await Promise.all(Object.values(latePlaces).map((late) => late.load()));
}
