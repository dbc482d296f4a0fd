import { everyBecause } from '../../../src/base/because.ts';

type Node = undefined | null | boolean | number | string | readonly Node[] | { readonly [key: string]: Node };

/**
 * What is wrong with the shape of an analysis, against the documented format: every number finite; a null leaf has
 * `<nameWithoutUnit>Because` beside it with a code of the closed union (the two documented exceptions being void reasons and `orElse`);
 * the documented names are all there and no others.
 */
export function shapeFaults(analysis: unknown): string[] {
  const faults: string[] = [];
  // Through JSON: what a reader of the output sees (NaN and Infinity would have become null there).
  const direct = analysis as Node;
  walk(direct, 'analysis', faults);
  const root = direct as Record<string, Node>;
  names(root, rootNames, 'analysis', faults);
  for (const [i, caught] of (root['catches'] as readonly Record<string, Node>[]).entries()) {
    names(caught, catchNames, `catches[${i}]`, faults);
  }
  if (root['curve'] !== null) names(root['curve'] as Record<string, Node>, curveNames, 'curve', faults);
  if (root['finding'] !== null) {
    const finding = root['finding'] as Record<string, Node>;
    names(finding, ['cause', 'orElse', 'fits', 'evidence'], 'finding', faults);
    const evidence = finding['evidence'] as Record<string, Node>;
    names(evidence, ['aicc', 'gain'], 'finding.evidence', faults);
    names(evidence['aicc'] as Record<string, Node>, causeNames, 'finding.evidence.aicc', faults);
  }
  return faults;
}

const codes = new Set<string>(everyBecause);
/** Null here means "not void", as documented. */
const mayBeNull = new Set(['voidBecause', 'curveBecause', 'findingBecause', 'orElse']);

function walk(node: Node, path: string, faults: string[]): void {
  if (typeof node === 'number' && !Number.isFinite(node)) faults.push(`${path} is ${node}`);
  if (node === undefined) faults.push(`${path} is undefined`);
  if (node === null || typeof node !== 'object') return;
  if (Array.isArray(node)) {
    node.forEach((item: Node, i) => walk(item, `${path}[${i}]`, faults));
    return;
  }
  for (const [key, value] of Object.entries(node as Record<string, Node>)) {
    if (key.endsWith('Because') && value !== null && !codes.has(value as string)) {
      faults.push(`${path}.${key} is no code: ${JSON.stringify(value)}`);
    }
    if (value === null && !mayBeNull.has(key)) {
      const beside = (node as Record<string, Node>)[`${withoutUnit(key)}Because`];
      if (typeof beside !== 'string') faults.push(`${path}.${key} is null without a because`);
    }
    walk(value, `${path}.${key}`, faults);
  }
}

/** `flow_m3_per_s` → `flow`: a unit begins at the first underscore. */
function withoutUnit(key: string): string {
  return key.split('_')[0]!;
}

function names(node: Record<string, Node>, wanted: readonly string[], path: string, faults: string[]): void {
  for (const name of wanted) if (!(name in node)) faults.push(`${path}.${name} is missing`);
  for (const name of Object.keys(node)) {
    const isReason = name.endsWith('Because') && wanted.some((w) => withoutUnit(w) === name.slice(0, -7));
    if (!wanted.includes(name) && !isReason) faults.push(`${path}.${name} is not documented`);
  }
}

// Written out from the format's description, not from the code.
const rootNames = [
  ...['format', 'file', 'estimatorVersion', 'simulated', 'readings', 'linesRefused', 'gaps', 'duration_s'],
  ...[
    'clockRatio',
    'clockRatioStandardUncertainty',
    'warnings',
    'catches',
    'withdrawn',
    'curve',
    'curveBecause',
  ],
  ...['finding', 'findingBecause'],
];
const causeNames = [
  ...[
    'no fault shown',
    'worn',
    'restricted',
    'leaking',
    'pump-limited',
    'threshold-or-dial-high',
    'dial-low',
  ],
];
const catchNames = [
  ...[
    'start_s',
    'stop_s',
    'setting_Pa',
    'pressure_Pa',
    'pour',
    'mass_kg',
    'massFlow_kg_per_s',
    'flow_m3_per_s',
  ],
  ...['flowFrom', 'typeA_m3_per_s', 'typeADegreesOfFreedom', 'jetAllowance_m3_per_s', 'ownTypeB_m3_per_s'],
  ...['sharedTypeB_m3_per_s', 'standardUncertainty_m3_per_s', 'degreesOfFreedom'],
  ...['expandedUncertainty95_m3_per_s', 'drip_m3_per_s', 'struck', 'voidBecause', 'warnings'],
];
const curveNames = [
  ...['used', 'nozzleConstant_m3_per_s_per_sqrtPa', 'nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa'],
  ...['degreesOfFreedom', 'exponent', 'exponentStandardUncertainty', 'lackOfFit', 'residuals_m3_per_s'],
];
