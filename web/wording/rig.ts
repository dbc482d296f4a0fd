/** What a rig's kind adds to a result, in sentences and table rows. */
import type { CatchView, RigCatch, RigResult, RigSetup, WayCompared } from '../contract.ts';
import { plain, significant, withUncertainty } from './number.ts';
import { words } from './page.ts';
import { pressureText } from './prompts.ts';
import { rigWords } from './rig-words.ts';
import type { ShownUnits } from './units.ts';

const seconds = (value_s: number, digits = 2): string => `${significant(value_s, digits)} s`;
const percent = (share: number): string => `${significant(100 * share, 2)} %`;

/** How the figures of this result are to be read. */
export function rigSentences(data: { readonly rig: RigResult | null }, units: ShownUnits): string[] {
  const { rig } = data;
  if (rig === null) return [];
  const read: Readonly<Record<RigSetup['kind'], () => string[]>> = {
    held: () => [],
    'pumped-while-spraying': () =>
      rig.strokePeriod_s === null
        ? []
        : [
            `This is the flow at one stroke of the pump every ${plain(rig.strokePeriod_s)} s; at another rhythm it is another.`,
          ],
    // With its pressure measured a pour is cut into points of the curve, and there is no table.
    'pumped-up': () =>
      rig.catches.some((seen) => seen?.kind === 'falling')
        ? [
            `Each catch is told by its mean; in ${units.flow.label} at its start, middle and end in the table below.`,
          ]
        : [],
    'hose-reel': () => [hoseSentence(rig)],
  };
  const onScale =
    rig.standsOnScale === 'sprayer'
      ? [
          'Measured by what the sprayer lost. The ± holds the pull of a hanging hose, assumed: 2 g with the wand in a guide, 10 g in the hand.',
        ]
      : [];
  return [...read[rig.kind](), ...onScale];
}

function hoseSentence({ catches }: RigResult): string {
  const steady = catches.flatMap((seen) => (seen?.kind === 'hose' ? [seen.steadyAfter_s !== null] : []));
  if (!steady.includes(false)) return 'The flow told is the steady one, after the hose has swollen.';
  const doubt = 'That flow may not be the steady one: spray longer.';
  if (!steady.includes(true)) return `The hose still swelled when the water was shut off. ${doubt}`;
  return `The flow told is the steady one, after the hose has swollen; but where the table says “${rigWords.never}” it still swelled. ${doubt}`;
}

export interface RigTableText {
  readonly caption: string;
  readonly heads: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** The table under the curve; null where the kind adds nothing. */
export function rigTable(
  rig: RigResult,
  catches: readonly Pick<CatchView, 'setting_Pa'>[],
  units: ShownUnits,
): RigTableText | null {
  const text = rigWords;
  const head = [words.table.number, words.table.setting];
  const named = rig.catches.flatMap((seen, i) => {
    const setting_Pa = catches[i]?.setting_Pa ?? null;
    const name = [String(i + 1), setting_Pa === null ? '–' : pressureText(setting_Pa, units)];
    return seen === null ? [] : [{ name, seen }];
  });
  const of = <K extends RigCatch['kind']>(kind: K) =>
    named.flatMap(({ name, seen }) =>
      seen.kind === kind ? [{ name, seen: seen as Extract<RigCatch, { kind: K }> }] : [],
    );
  if (rig.kind === 'pumped-up') {
    const where = [text.whenStart, text.whenMiddle, text.whenEnd];
    const rows = of('falling').flatMap(({ name, seen }) =>
      seen.rows.map((row, i) => {
        const cut = withUncertainty(
          units.flow.fromSI(row.flow_m3_per_s),
          units.flow.fromSI(row.expandedUncertainty95_m3_per_s),
        );
        return [
          ...name,
          where[i] ?? '',
          seconds(row.since_s),
          `${significant(units.volume.fromSI(row.given_m3), 3)} ${units.volume.label}`,
          cut?.value ?? '–',
          cut?.plusMinus ?? '–',
        ];
      }),
    );
    const heads = [
      ...head,
      text.when,
      text.since,
      text.given,
      `${words.table.flow}, ${units.flow.label}`,
      words.table.plusMinus,
    ];
    return rows.length === 0 ? null : { caption: text.fallingCaption, heads, rows };
  }
  if (rig.kind === 'pumped-while-spraying') {
    const rows = of('strokes').map(({ name, seen }) => [
      ...name,
      String(seen.strokes),
      seen.rhythm_s === null ? '–' : seconds(seen.rhythm_s, 3),
      percent(seen.strokeScatter),
    ]);
    const heads = [...head, text.strokes, text.rhythm, text.scatter];
    return rows.length === 0 ? null : { caption: text.strokesCaption, heads, rows };
  }
  if (rig.kind === 'hose-reel') {
    const rows = of('hose').map(({ name, seen }) => [
      ...name,
      seen.steadyAfter_s === null ? text.never : seconds(seen.steadyAfter_s),
    ]);
    return rows.length === 0 ? null : { caption: text.hoseCaption, heads: [...head, text.steady], rows };
  }
  return null;
}

/** Water that leaves the sprayer and does not reach the pail. */
export function otherWaySentence(found: WayCompared): string {
  const by = found.leaves === 'meter' ? 'by the meter' : 'by the sprayer’s loss';
  const lost = withUncertainty(100 * found.lostShare, 100 * found.lostShareExpanded95);
  const share = `${lost?.value ?? significant(100 * found.lostShare, 2)} %, give or take ${lost?.plusMinus ?? '–'}`;
  switch (found.verdict) {
    case 'leak-or-mist':
      return `Of what leaves the sprayer, ${by}, ${share}, does not reach the pail: a leak, or mist. Look for drops at pump, hose and trigger with the water running; if all is dry, it is mist or spray beside the pail.`;
    case 'more-arrives':
      return `More reaches the pail than leaves the sprayer, ${by} (${share}): that can’t be water. Check the scale, the dial and the meter, and measure again.`;
    case 'none-seen':
      return `No leak or mist is seen: ${share}, ${by}. A smaller one would not show.`;
  }
}

export function otherWayRows(found: WayCompared, units: ShownUnits): readonly (readonly string[])[] {
  const flow = (value: number): string => units.flow.fromSI(value).toPrecision(3);
  return found.settings.map((one) => [
    pressureText(one.setting_Pa, units),
    flow(one.leaves_m3_per_s),
    flow(one.reaches_m3_per_s),
  ]);
}
