/** The whole way from a scale's bytes to the curve, in real time, through the browser's own navigator.serial. */
import { PSI_PA } from '../../src/base/units/constants.ts';
import { GuidedBench } from '../../src/simulation/guided-bench.ts';
import { usualDial } from '../../src/simulation/rig.ts';
import { SimulatedBench } from '../../src/simulation/simulated-bench.ts';
import { SimulatedPerson } from '../../src/simulation/simulated-person.ts';
import { shownUnits } from '../../web/wording/units.ts';
import { button, catchRows, fill, openPage, pickFirstPort, words } from './bench-page.ts';
import { expect, test } from './browser.ts';
import { listen } from './page-reader.ts';

const SEED = 12;
const SETTINGS_PSI = [20, 40, 60];

test(`three settings, one catch each, with the scale unplugged in the middle of a catch and plugged in again (seed ${String(SEED)})`, async ({
  served,
  rig,
  open,
}) => {
  test.setTimeout(180_000);
  const scale = await rig.plugIn({ paced: true });
  const { page, complaints } = await open({ rig });
  await pickFirstPort(page);
  await openPage(page, served.origin);

  // The sprayer, the pail and the person live in Node and know of the page only what it shows.
  const flowAt40psi_m3_per_s = 2.5e-5;
  const bench = new SimulatedBench({
    scenario: 'typical',
    seed: SEED,
    instrument: 'scale',
    dialect: 'right-justified',
    tip: { nozzleConstant_m3_per_s_per_sqrtPa: flowAt40psi_m3_per_s / Math.sqrt(40 * PSI_PA) },
    dial: usualDial,
  });
  const guided = new GuidedBench(bench, new SimulatedPerson({ seed: SEED }));
  const began_ms = performance.now();
  const ticking = setInterval(() => {
    guided.advance((performance.now() - began_ms) / 1000, (chunk) => scale.send(chunk.bytes));
  }, 20);

  try {
    await button(page, words.choice.instrument).click();
    await button(page, words.instrument.open).click();
    expect(await scale.told('configured')).toMatchObject({ baud: 9600, bits: 8, parity: 'none', stop: 1 });
    await expect(page.getByTestId('mass')).toBeVisible();
    await button(page, words.instrument.goOn).click();
    await fill(page, words.setup.tipName, 'test tip');
    await fill(page, words.setup.rigName, 'test sprayer');
    await fill(page, words.setup.settings, SETTINGS_PSI.join(' '));
    await fill(page, words.setup.catches, '1');
    // A control that clicks needs no turning away first: the whole test stays under two minutes.
    await page.getByRole('radio', { name: words.setup.clicks }).check();
    await fill(page, words.setup.target, '3');

    const lines: string[] = [];
    let catchesBegun = 0;
    let before = '';
    let unplugging: Promise<void> | null = null;
    let unplugged = false;
    await listen(page, SETTINGS_PSI, (prompt, line) => {
      lines.push(line);

      guided.follow(prompt);
      if (prompt.kind === 'keep-spraying' && before !== 'keep-spraying') catchesBegun += 1;
      before = prompt.kind;
      const wellUnderWay = prompt.kind === 'keep-spraying' && line.includes('more');
      if (catchesBegun === 2 && wellUnderWay && unplugging === null) {
        unplugging = scale.unplug().then(() => void (unplugged = true));
      }
    });
    await page.getByRole('button', { name: words.setup.go, exact: true }).click();

    await expect.poll(() => unplugged, { timeout: 90_000 }).toBe(true);
    await expect(page.getByRole('heading', { name: 'Waiting for the instrument.' })).toBeVisible();
    await scale.plug();
    await expect(page.getByRole('heading', { name: 'Waiting for the instrument.' })).toBeHidden();

    // The headline of the result names the tip; the instruction line is gone then.
    await expect(page.getByRole('heading', { name: /^test tip gives / })).toBeVisible({ timeout: 110_000 });
    const rows = await catchRows(page);
    const voids = rows.filter((row) => row[5]?.startsWith(words.table.void));
    const kept = rows.filter((row) => !voids.includes(row));
    expect(voids, JSON.stringify(rows)).toHaveLength(1);
    expect(kept.map((row) => row[1]).sort()).toEqual(['20 psi', '40 psi', '60 psi']);

    // Each kept flow within three times its ± (three pours: beyond that is a fault, not chance) of what really ran.
    for (const [, setting, flow, plusMinus] of kept) {
      const psi = Number.parseFloat(setting!);
      const pours = bench.truth.filter((pour) => Math.abs(pour.setting_Pa! / PSI_PA - psi) < 0.01);
      const near = pours.map((pour) =>
        Math.abs(shownUnits.us.flow.fromSI(pour.flow_m3_per_s) - Number(flow)),
      );
      expect(Math.min(...near), `${setting!} ${flow!} ± ${plusMinus!}`).toBeLessThan(3 * Number(plusMinus));
    }
    // The page opened the port twice, at the same speed, and let go of it once.
    const told = scale.log.map((entry) => entry.event);
    expect(told.filter((event) => event === 'configured').length).toBeGreaterThanOrEqual(2);
    expect(complaints).toEqual([]);
  } finally {
    clearInterval(ticking);
  }
});
