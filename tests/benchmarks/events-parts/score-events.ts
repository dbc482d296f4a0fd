import type { CatchEvent, CatchListener, DetectedCatch } from '../../../src/signal/catches/catch-event.ts';
import { simulateFills, type SimulatedFills } from '../../../src/simulation/fills.ts';
import type { Scenario, ScenarioName } from '../../../src/simulation/scenario.ts';

/** Counts and errors of one detector over many simulated fills; errors and latencies are lists of seconds. */
export interface EventScore {
  fills: number;
  missed: number;
  false: number;
  split: number;
  merged: number;
  withdrawn: number;
  retracted: number;
  voided: Record<string, number>;
  falseMaybe: number;
  falseFilling: number;
  settlingTooEarly: number;
  start_s: number[];
  stop_s: number[];
  duration_s: number[];
  settled_kg: number[];
  maybeAfter_s: number[];
  confirmedAfter_s: number[];
  stopSaidAfter_s: number[];
  closedAfter_s: number[];
  /** Seed and true start of every fill that was not found one to one, to look at. */
  failures: { what: string; seed: number; at_s: number }[];
}

export function emptyScore(): EventScore {
  return {
    fills: 0,
    missed: 0,
    false: 0,
    split: 0,
    merged: 0,
    withdrawn: 0,
    retracted: 0,
    voided: {},
    falseMaybe: 0,
    falseFilling: 0,
    settlingTooEarly: 0,
    start_s: [],
    stop_s: [],
    duration_s: [],
    settled_kg: [],
    maybeAfter_s: [],
    confirmedAfter_s: [],
    stopSaidAfter_s: [],
    closedAfter_s: [],
    failures: [],
  };
}

/** Feed a simulated session to a detector. Sample times are the true ones: rebuilding the clock is tested elsewhere. */
export function listen(detector: CatchListener, session: SimulatedFills): CatchEvent[] {
  const events: CatchEvent[] = [];
  for (let i = 0; i < session.time_s.length; i++)
    events.push(...detector.push(session.time_s[i] ?? 0, session.mass_kg[i] ?? 0));
  events.push(...detector.end((session.time_s.at(-1) ?? 0) + 0.1));
  return events;
}

const overlap_s = (a: Edges, b: Edges): number =>
  Math.min(a.stop_s, b.stop_s) - Math.max(a.start_s, b.start_s);

interface Edges {
  readonly start_s: number;
  readonly stop_s: number;
}

/** Match events with the truth and add to `score`. A catch belongs to a fill if they share more than a second. */
export function addSession(
  score: EventScore,
  session: SimulatedFills,
  events: CatchEvent[],
  seed: number,
): void {
  const { truth } = session;
  const kept: { caught: DetectedCatch; at_s: number }[] = [];
  for (const event of events) {
    if (event.kind === 'closed') kept.push({ caught: event.caught, at_s: event.at_s });
    if (event.kind === 'retracted') {
      score.retracted++;
      const index = kept.findIndex(({ caught }) => caught.start_s === event.start_s);
      if (index >= 0) kept.splice(index, 1);
    }
    if (event.kind === 'withdrawn') score.withdrawn++;
  }
  const running = (t: number): boolean => truth.some((fill) => t >= fill.start_s && t <= fill.stop_s + 1);
  const fail = (what: string, at_s: number): void => {
    score.failures.push({ what, seed, at_s: Math.round(at_s * 10) / 10 });
  };
  score.fills += truth.length;
  for (const event of events) {
    if (event.kind === 'maybe' && !running(event.at_s)) score.falseMaybe++;
    if (event.kind === 'filling' && !running(event.at_s)) score.falseFilling++;
    if (
      event.kind === 'settling' &&
      truth.some((fill) => event.at_s > fill.start_s && event.at_s < fill.stop_s)
    )
      score.settlingTooEarly++;
  }
  for (const { caught } of kept) {
    const hits = truth.filter((fill) => overlap_s(fill, caught) > 1).length;
    if (hits === 0) {
      score.false++;
      fail('false', caught.start_s);
    }
    if (hits > 1) {
      score.merged++;
      fail('merged', caught.start_s);
    }
    if (caught.voidBecause !== null)
      score.voided[caught.voidBecause] = (score.voided[caught.voidBecause] ?? 0) + 1;
  }
  for (const fill of truth) {
    const hits = kept.filter(({ caught }) => overlap_s(fill, caught) > 1);
    const only = hits[0];
    const half = 0.5 * (fill.stop_s - fill.start_s);
    if (only === undefined || Math.max(...hits.map(({ caught }) => overlap_s(fill, caught))) < half) {
      score.missed++;
      fail('missed', fill.start_s);
      continue;
    }
    if (hits.length > 1) {
      score.split++;
      fail('split', fill.start_s);
      continue;
    }
    const { caught } = only;
    const startError_s = caught.start_s - fill.start_s;
    const stopError_s = caught.stop_s - fill.stop_s;
    score.start_s.push(startError_s);
    score.stop_s.push(stopError_s);
    score.duration_s.push(stopError_s - startError_s);
    if (caught.settled_kg !== null)
      score.settled_kg.push(caught.settled_kg - caught.before_kg - fill.water_kg);
    const during = events.filter((event) => event.at_s >= fill.start_s && event.at_s <= only.at_s);
    const filling = during.find((event) => event.kind === 'filling');
    if (filling !== undefined) {
      const maybes = events.filter((event) => event.kind === 'maybe' && event.at_s <= filling.at_s);
      const maybe = maybes.at(-1);
      if (maybe !== undefined) score.maybeAfter_s.push(maybe.at_s - fill.start_s);
      score.confirmedAfter_s.push(filling.at_s - fill.start_s);
    }
    const settling = during.filter((event) => event.kind === 'settling' && event.at_s >= fill.stop_s).at(-1);
    if (settling !== undefined) score.stopSaidAfter_s.push(settling.at_s - fill.stop_s);
    score.closedAfter_s.push(only.at_s - fill.stop_s);
  }
}

export interface Campaign {
  readonly scenario: ScenarioName | Scenario;
  readonly fills: number;
  readonly seedBase: number;
  readonly fillsPerSession?: number;
}

/** Sessions of 20 fills on seeds seedBase, seedBase + 1, …; each session heard by every detector. */
export function scoreEvents(
  campaign: Campaign,
  detectors: readonly ((session: SimulatedFills) => CatchListener)[],
): EventScore[] {
  const scores = detectors.map(() => emptyScore());
  const each = campaign.fillsPerSession ?? 20;
  for (let done = 0, seed = campaign.seedBase; done < campaign.fills; done += each, seed++) {
    const fills = Math.min(each, campaign.fills - done);
    const session = simulateFills({ scenario: campaign.scenario, seed, fills });
    detectors.forEach((make, i) => {
      const score = scores[i];
      if (score !== undefined) addSession(score, session, listen(make(session), session), seed);
    });
  }
  return scores;
}
