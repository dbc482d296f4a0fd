import { PSI_PA } from '../base/units/constants.ts';
import type { Chunk } from '../signal/reading.ts';
import type { SimulatedBench } from './simulated-bench.ts';
import type { PersonAction, PersonPrompt, SimulatedPerson } from './simulated-person.ts';

const STEPS_PER_S = 20;
const HALF_PSI_PA = PSI_PA / 2;
/** A caller who adds 0.05 s to the time of the last step means the next one, whatever binary fractions make of it. */
const ROUNDING_S = 1e-6;

/**
 * Bench and person together, in whole steps of 0.05 s of simulated time, so that bytes, prompts and actions interleave alike
 * whether somebody asks for a millisecond or for a minute at once. Call `follow` from within `onChunk` to keep it so: a
 * prompt is heard at the bench's time then.
 */
export class GuidedBench {
  private step = 0;
  /** Hears what the person reads off a dial or a gauge, Pa to half a psi; null: the large button. */
  answered: (value_Pa: number | null) => void = () => undefined;

  constructor(
    readonly bench: SimulatedBench,
    readonly person: SimulatedPerson,
  ) {}

  /** Simulated time of the last whole step. */
  get now_s(): number {
    return this.step / STEPS_PER_S;
  }

  /** Run to the last whole step at or before `to_s`; what is left over waits for the next call. */
  advance(to_s: number, onChunk: (chunk: Chunk) => void): void {
    while ((this.step + 1) / STEPS_PER_S <= to_s + ROUNDING_S) {
      this.step += 1;
      this.runTo(this.now_s, onChunk);
    }
  }

  follow(prompt: PersonPrompt): void {
    this.person.follow(prompt, this.bench.now_s);
  }

  private runTo(t_s: number, onChunk: (chunk: Chunk) => void): void {
    for (const { at_s, action } of this.person.actionsDueBy(t_s)) {
      for (const chunk of this.bench.advanceTo(Math.max(at_s, this.bench.now_s))) onChunk(chunk);
      this.act(action);
    }
    for (const chunk of this.bench.advanceTo(t_s)) onChunk(chunk);
  }

  private act(action: PersonAction): void {
    switch (action.kind) {
      case 'set-dial':
        this.bench.setDial(action.setting_Pa);
        break;
      case 'turn-dial':
        this.bench.turnDial(action.setting_Pa, action.share);
        break;
      case 'open-trigger':
        this.bench.openTrigger();
        break;
      case 'close-trigger':
        this.bench.closeTrigger();
        break;
      case 'lift-pail':
        this.bench.liftPail();
        break;
      case 'put-back-empty':
        this.bench.putBackPail(true);
        break;
      case 'trickle':
        this.bench.trickle(action.mass_kg);
        break;
      case 'fit-blank':
      case 'fit-tip':
        this.bench.fitBlank(action.kind === 'fit-blank');
        break;
      case 'tell-dial':
        this.answered(asRead_Pa(this.bench.dialShows_Pa + action.beside_Pa));
        break;
      case 'tell-wand':
        this.answered(Math.max(0, asRead_Pa(this.bench.wandPressure_Pa + action.beside_Pa)));
        break;
      case 'press-button':
        this.answered(null);
        break;
      case 'fit-nozzle':
        this.bench.fitNozzle(action.nozzle);
        break;
      case 'put-known':
        this.bench.putKnownMass(action.mass_kg);
        break;
    }
  }
}

/** A number as a person tells it: to half a psi. */
function asRead_Pa(value_Pa: number): number {
  return Math.round(value_Pa / HALF_PSI_PA) * HALF_PSI_PA;
}
