import type { Warning } from '../base/because.ts';
import type { RigKind } from '../signal/captures/header.ts';
import type { RigCheckPrompt } from './rig-check/rig-check-view.ts';
import type { CheckPrompt } from './checks/check-view.ts';

/** Given where the rig is not simply a held pressure into a pail: the words are others then. */
export interface AskedOfRig {
  readonly rig?: { readonly kind: RigKind; readonly standsOnScale: 'pail' | 'sprayer' };
}

/** Given in a routine: which of several nozzles the water is to come from. */
export type AskedNozzle =
  /** `change`: this tip must be put on first; `first`: it is the first one. `label` is typed text, untrusted. */
  | {
      readonly of: 'tips';
      readonly index: number;
      readonly label: string;
      readonly change: 'first' | 'change' | 'same';
    }
  | { readonly of: 'boom'; readonly index: number; readonly label: string; readonly count: number };

/** Pail and scale go under the next nozzle of a boom. `restless`: they were moved, and the scale does not come to rest. */
export interface AskedToMove {
  readonly kind: 'move-pail';
  readonly nozzle: AskedNozzle;
  readonly isFirst: boolean;
  readonly restless: boolean;
}

/** All planned catches are there, and scatter too much for the difference that was wanted: so many more of each tip would do. */
export interface OfferOfMore {
  readonly kind: 'more-catches';
  readonly catchesPerTip: number;
}

export interface AskedToTurn {
  readonly setting_Pa: number;
  /** It was asked before and nothing changed. */
  readonly again: boolean;
  /** The setting before it never came to the ± that was wanted. */
  readonly missed?: true;
}

/** What the person is asked to do now. One at a time; the same words are spoken, shown and told to the simulated person. */
export type Prompt =
  /** Turn the control (away and back first, if `turnAwayFirst`), then spray into the pail. */
  | ({
      readonly kind: 'set-and-spray';
      readonly setting_Pa: number;
      readonly turnAwayFirst: boolean;
      readonly sameAgain: boolean;
      /** A sensor reads the pressure: nobody has to hit the setting. */
      readonly about?: true;
      readonly nozzle?: AskedNozzle;
    } & AskedOfRig)
  | AskedToMove
  | OfferOfMore
  /** `swelling`: a hose that has not swollen yet; what comes out is not counted before it is steady. */
  | ({
      readonly kind: 'keep-spraying';
      readonly setting_Pa: number;
      readonly swelling?: boolean;
    } & AskedOfRig)
  /** One pour through several settings: turn the control now, the water runs on. */
  | ({ readonly kind: 'turn-while-spraying' } & AskedToTurn)
  | { readonly kind: 'shut-off'; readonly because: ShutOffReason }
  | ({ readonly kind: 'hold-still' } & AskedOfRig)
  | { readonly kind: 'empty-pail'; readonly because: 'will-not-fit' | 'scale-near-limit' }
  /** The sprayer stands on the scale: fill its tank to what was typed, and set it back. */
  | { readonly kind: 'refill-tank'; readonly fill_m3: number }
  /** Even an empty pail, or this scale, can't take eight seconds at this setting: another pail or scale, or end here. */
  | ({ readonly kind: 'pail-too-small'; readonly setting_Pa: number } & AskedOfRig)
  | { readonly kind: 'wait-for-instrument' }
  | { readonly kind: 'paused' }
  | { readonly kind: 'done' };

export type ShutOffReason =
  | 'enough'
  | 'longest-catch'
  | 'scale-near-limit'
  | 'tank-low'
  | 'forecast-too-long'
  | 'paused'
  | 'struck'
  /** Another tip was asked for, and water came sooner than anybody can change one. */
  | 'tip-not-changed'
  /** The control was to be turned in a running pour, and no change of flow or pressure was seen. */
  | 'change-not-seen';

/** What is announced: a tone, a caption and, where there is a voice, a spoken line. */
export type Announcement =
  | ({
      readonly kind: 'set-and-spray';
      readonly setting_Pa: number;
      readonly turnAwayFirst: boolean;
      readonly sameAgain: boolean;
      readonly about?: true;
      readonly nozzle?: AskedNozzle;
    } & AskedOfRig)
  | AskedToMove
  | OfferOfMore
  | { readonly kind: 'start-heard' }
  | ({ readonly kind: 'turn-while-spraying' } & AskedToTurn)
  /** In a running pour: flow or pressure have changed and are steady again. */
  | { readonly kind: 'steady-again'; readonly setting_Pa: number }
  /** A pour through several settings is over: so many were kept, so many are still wanted of those it was to visit. */
  | { readonly kind: 'pour-kept'; readonly kept: number; readonly missing: number }
  /** What the sensor read in the catch that runs, and which planned setting that is; null: none of them. */
  | { readonly kind: 'pressure-read'; readonly pressure_Pa: number; readonly setting_Pa: number | null }
  | { readonly kind: 'enough'; readonly because: ShutOffReason }
  | {
      readonly kind: 'kept';
      readonly setting_Pa: number;
      readonly flow_m3_per_s: number;
      readonly expanded_m3_per_s: number;
      /** Doubts that leave its figure standing. */
      readonly warnings: readonly Warning[];
      /** In a routine: which nozzle it came from. */
      readonly nozzle?: AskedNozzle;
    }
  /** `leftOut`: it gave a flow, and is too short to be trusted. */
  | { readonly kind: 'void'; readonly because: string; readonly leftOut?: true }
  | { readonly kind: 'not-water' }
  | { readonly kind: 'empty-pail'; readonly because: 'will-not-fit' | 'scale-near-limit' }
  | { readonly kind: 'refill-tank'; readonly fill_m3: number }
  | ({ readonly kind: 'pail-too-small'; readonly setting_Pa: number } & AskedOfRig)
  | { readonly kind: 'instrument-lost' }
  | { readonly kind: 'instrument-back' }
  | { readonly kind: 'paused' }
  | { readonly kind: 'resumed' }
  | { readonly kind: 'struck' }
  | { readonly kind: 'done' }
  /** A check of the instrument asks or tells. */
  | { readonly kind: 'check'; readonly prompt: CheckPrompt }
  /** A check of the rig asks or tells. */
  | { readonly kind: 'rig-check'; readonly prompt: RigCheckPrompt };
