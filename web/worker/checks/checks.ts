/** What is loaded with the first check. */
export { headerOfChecks } from './header-of-checks.ts';
export { InstrumentChecks } from './instrument-checks.ts';
