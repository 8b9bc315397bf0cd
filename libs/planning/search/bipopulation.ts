import { mirrored } from '../engine/mirror.js';
import type { Instance } from '../engine/instance.js';
import type { Random } from '../engine/random.js';
import { crossed, densityOf, mutate, type Density } from './crossover.js';
import { notWorse, type Decoder, type Individual } from './decoder.js';
import { latestFinishKeys, listByKey, sampledList } from './lists.js';

/** Settings of the search; found by trial on projects of 30 and 60 tasks. */
interface Settings {
  readonly population: number;
  readonly children: number;
  readonly swapChance: number;
  readonly bias: number;
  readonly grain: number;
}

function settingsFor(instance: Instance, schedules: number): Settings {
  const count = Math.max(2, instance.taskIds.length);
  const size = 24 * (schedules / 1000) ** 0.7 * (30 / count) ** 0.7;
  let work = 0;
  for (const duration of instance.duration) work += duration;
  return {
    population: Math.round(Math.min(160, Math.max(8, size))),
    children: 3,
    swapChance: Math.min(0.3, 4.5 / count),
    bias: Math.min(6, 0.3 * (count / 30) ** 1.5),
    grain: Math.max(1, (0.2 * work) / count),
  };
}

/**
 * Search for a short schedule with two populations, one of schedules in which all is as early as possible and one in
 * which all is as late as possible. Children of the one are decoded into the other, so that every generated schedule
 * is a justification pass as well (after Debels and Vanhoucke 2005, with a crossover and settings of our own).
 *
 * Stops when the effort is spent or a schedule reaches the bound.
 */
export function bipopulationSearch(decoder: Decoder, bound: () => number, random: Random): void {
  const search = new Bipopulation(decoder, bound, random);
  while (!search.isDone) search.run();
}

class Bipopulation {
  private readonly settings: Settings;
  private readonly density: Density;
  private readonly mirror: Instance;
  private readonly roundSchedules: number;

  constructor(
    private readonly decoder: Decoder,
    private readonly bound: () => number,
    private readonly random: Random,
  ) {
    // A long search is many searches: one population that has found its valley stays in it.
    this.roundSchedules = Math.min(decoder.effort.left, 20_000);
    this.settings = settingsFor(decoder.instance, this.roundSchedules);
    this.density = densityOf(decoder.instance);
    this.mirror = mirrored(decoder.instance, decoder.windows.horizon);
  }

  get isDone(): boolean {
    return this.decoder.isDone(this.bound());
  }

  /** One population from its beginning to the end of its share of the effort. */
  run(): void {
    const until = this.decoder.effort.tried + this.roundSchedules;
    let current = this.firstGeneration();
    let previous: readonly Individual[] = [];
    while (!this.isDone && this.decoder.effort.tried < until) {
      const next = this.nextGeneration(current, previous);
      previous = current;
      current = next;
    }
  }

  private firstGeneration(): readonly Individual[] {
    const { decoder, settings, random } = this;
    const { instance, windows, objective } = decoder;
    const made: Individual[] = [];
    const key = latestFinishKeys(instance, windows, objective, windows.horizon);
    const add = (individual: Individual): Individual => {
      if (!individual.isMirrored) made.push(individual);
      return individual;
    };
    const first = add(decoder.forward(listByKey(instance, key)));
    if (!this.isDone) {
      const late = decoder.backward(decoder.reversedOrder(first), decoder.limitsOf(first));
      if (!this.isDone) add(decoder.forward(decoder.reversedOrder(late)));
    }
    while (made.length < 2 * settings.population && !this.isDone) {
      add(decoder.forward(sampledList(instance, key, settings, random)));
    }
    return made
      .sort((a, b) => (notWorse(a, b) ? (notWorse(b, a) ? 0 : -1) : 1))
      .slice(0, settings.population);
  }

  /** Each individual gets children with one mate, decoded the other way; the best child takes the place. */
  private nextGeneration(
    current: readonly Individual[],
    previous: readonly Individual[],
  ): readonly Individual[] {
    const lists = current.map((individual) => this.decoder.reversedOrder(individual));
    const next: Individual[] = [];
    for (let place = 0; place < current.length && !this.isDone; place += 1) {
      const mate = this.mateFor(current, place);
      let best: Individual | null = null;
      for (let child = 0; child < this.settings.children && !this.isDone; child += 1) {
        const made = this.childOf(current, lists, this.random.next() < 0.5 ? [place, mate] : [mate, place]);
        if (!best || notWorse(made, best)) best = made;
      }
      const old = previous[place];
      // The best of all may not be lost to a worse child.
      const keep = old !== undefined && best !== null && !notWorse(best, old) && this.isBest(old);
      if (keep) next.push(old);
      else if (best) next.push(best);
    }
    return next;
  }

  private childOf(
    current: readonly Individual[],
    lists: readonly Int32Array[],
    [giver, keeper]: readonly [number, number],
  ): Individual {
    const { decoder, random } = this;
    const toMirror = !current[giver].isMirrored;
    const instance = toMirror ? this.mirror : decoder.instance;
    const parent = { list: lists[giver], start: current[giver].start };
    const list = crossed(instance, this.density, parent, lists[keeper], random);
    mutate(instance, list, this.settings.swapChance, random);
    if (!toMirror) return decoder.forward(list);
    const late = decoder.backward(list, this.limitsFor(current[giver], current[keeper]));
    // A promise of a new best is cashed in at once, before a crossover loses it.
    if (late.value < (decoder.best?.value ?? Infinity) && !decoder.effort.exhausted) {
      decoder.forward(decoder.reversedOrder(late));
    }
    return late;
  }

  /** For makespan only the order counts; with due dates, what either parent would still allow. */
  private limitsFor(one: Individual, other: Individual): number | Float64Array {
    const { decoder } = this;
    if (decoder.objective === 'makespan' && decoder.best) return decoder.best.value;
    const limit = decoder.limitsOf(one);
    const also = decoder.limitsOf(other);
    if (typeof limit === 'number' || typeof also === 'number') return limit;
    return limit.map((time, task) => Math.max(time, also[task]));
  }

  private isBest(individual: Individual): boolean {
    return individual.violation === 0 && individual.value === this.decoder.best?.value;
  }

  private mateFor(current: readonly Individual[], place: number): number {
    const one = this.random.below(current.length);
    const other = this.random.below(current.length);
    const mate = notWorse(current[one], current[other]) ? one : other;
    return mate === place ? (mate + 1) % current.length : mate;
  }
}
