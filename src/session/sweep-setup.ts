/** The set-up is kept with every sweep, so its shape lives with the records. */
export type { RigSetup, SweepSetup, TipSetup } from '../records/sweep-setup.ts';
