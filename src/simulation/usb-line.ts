import type { Random } from './random.ts';
import type { Scenario } from './scenario.ts';

/** When the host gets what was sent: latency of the bridge, and now and then a stall that holds back all that follows. */
export class UsbLine {
  private readonly random: Random;
  private busyUntil_s = 0;

  constructor(
    private readonly scenario: Scenario,
    random: Random,
  ) {
    this.random = random.stream('usb');
  }

  /** Arrival on the host's clock of a line whose last byte left at `sent_s`. Never decreases. */
  arrival_s(sent_s: number): number {
    const latency_s = this.random.within(this.scenario.latency_s);
    const stall_s = this.random.uniform(0.06, 0.14);
    const stalls = this.random.chance(this.scenario.stallChance);
    const arrival_s = sent_s + latency_s + (stalls ? stall_s : 0);
    this.busyUntil_s = Math.max(this.busyUntil_s, arrival_s);
    return this.busyUntil_s;
  }
}
