import type { FlowCourse } from './flow-course.ts';

/** What one opening of the valve is made of. Flow falls linearly from `flow_kg_per_s` by `sag_per_s` (relative, signed). */
export interface PourMakeup {
  readonly start_s: number;
  readonly flow_kg_per_s: number;
  readonly sag_per_s: number;
  readonly openLag_s: number;
  readonly closeLag_s: number;
  readonly afterDrip_kg: number;
  readonly afterDripMemory_s: number;
  readonly dribble_kg_per_s: number;
  /** A flow that does not keep to the line above; absent: it does. Adds to it until the valve closes. */
  readonly course?: FlowCourse | null;
}

/**
 * Water out of one opening of the valve: first-order lag at opening and closing, linear sag, and after closing an exponential
 * after-drip plus a dribble that lasts until `endDribble`. Mass is the exact integral of the flow (arithmetic, by parts).
 * Times are true seconds; ask only for times that do not lie before the last command.
 */
export class Pour {
  stop_s = Infinity;
  private dribbleEnd_s = Infinity;

  constructor(readonly makeup: PourMakeup) {}

  close(at_s: number): void {
    this.stop_s = Math.max(at_s, this.makeup.start_s);
  }

  endDribble(at_s: number): void {
    this.dribbleEnd_s = Math.min(this.dribbleEnd_s, at_s);
  }

  /** How far the flow has developed, 0..1. */
  fraction(t_s: number): number {
    const { start_s, openLag_s, closeLag_s } = this.makeup;
    if (t_s <= start_s) return 0;
    if (t_s <= this.stop_s) return -Math.expm1(-(t_s - start_s) / openLag_s);
    return -Math.expm1(-(this.stop_s - start_s) / openLag_s) * Math.exp(-(t_s - this.stop_s) / closeLag_s);
  }

  /** How far the flow departs from its line, relative; after closing as it was then. */
  deviation(t_s: number): number {
    const since_s = Math.min(t_s, this.stop_s) - this.makeup.start_s;
    return since_s <= 0 ? 0 : (this.makeup.course?.deviation(since_s) ?? 0);
  }

  /** Flow at a moment, kg/s, drip and dribble included. */
  flow_kg_per_s(t_s: number): number {
    const m = this.makeup;
    const main = m.flow_kg_per_s * (1 + m.sag_per_s * (t_s - m.start_s)) * this.fraction(t_s);
    if (t_s <= this.stop_s) return main + m.flow_kg_per_s * this.deviation(t_s);
    const drip =
      (m.afterDrip_kg / m.afterDripMemory_s) * Math.exp(-(t_s - this.stop_s) / m.afterDripMemory_s);
    return main + drip + (t_s < this.dribbleEnd_s ? m.dribble_kg_per_s : 0);
  }

  /** All that has come out up to `t_s`, kg. */
  delivered_kg(t_s: number): number {
    const m = this.makeup;
    if (t_s <= m.start_s) return 0;
    const openFor_s = Math.min(t_s, this.stop_s) - m.start_s;
    const opened =
      openFor_s + 0.5 * m.sag_per_s * openFor_s ** 2 - decaying(openFor_s, m.openLag_s, 1, m.sag_per_s);
    let mass = m.flow_kg_per_s * (opened + (m.course?.accumulated_s(openFor_s) ?? 0));
    if (t_s > this.stop_s) {
      const closedFor_s = t_s - this.stop_s;
      const level = 1 + m.sag_per_s * openFor_s;
      mass +=
        m.flow_kg_per_s *
        this.fraction(this.stop_s) *
        decaying(closedFor_s, m.closeLag_s, level, m.sag_per_s);
      mass += m.afterDrip_kg * -Math.expm1(-closedFor_s / m.afterDripMemory_s);
      mass += m.dribble_kg_per_s * Math.max(0, Math.min(t_s, this.dribbleEnd_s) - this.stop_s);
    }
    return mass;
  }

  /** Nothing will come any more, to a part in 10^13. */
  finished(t_s: number): boolean {
    const slowest_s = Math.max(this.makeup.closeLag_s, this.makeup.afterDripMemory_s);
    return t_s > this.stop_s + 30 * slowest_s && t_s >= this.dribbleEnd_s;
  }
}

/** Integral from 0 to v of (level + slope x) exp(-x / memory) dx. */
function decaying(v: number, memory: number, level: number, slope: number): number {
  const gone = -Math.expm1(-v / memory);
  return level * memory * gone + slope * (memory * memory * gone - memory * v * (1 - gone));
}
