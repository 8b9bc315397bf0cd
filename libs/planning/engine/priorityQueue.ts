/** A binary heap of task numbers, the smallest key first; equal keys by task number, so that order never depends on luck. */
export class PriorityQueue {
  private readonly heap: number[] = [];

  constructor(private readonly key: ArrayLike<number>) {}

  get size(): number {
    return this.heap.length;
  }

  push(task: number): void {
    const { heap } = this;
    heap.push(task);
    let at = heap.length - 1;
    while (at > 0) {
      const parent = (at - 1) >> 1;
      if (!this.before(heap[at], heap[parent])) break;
      this.swap(at, parent);
      at = parent;
    }
  }

  pop(): number | undefined {
    const { heap } = this;
    const first = heap[0];
    const last = heap.pop();
    if (first === undefined || last === undefined || heap.length === 0) return first;
    heap[0] = last;
    let at = 0;
    for (;;) {
      const left = 2 * at + 1;
      if (left >= heap.length) return first;
      const right = left + 1;
      const child = right < heap.length && this.before(heap[right], heap[left]) ? right : left;
      if (!this.before(heap[child], heap[at])) return first;
      this.swap(at, child);
      at = child;
    }
  }

  private before(a: number, b: number): boolean {
    const difference = this.key[a] - this.key[b];
    return difference < 0 || (difference === 0 && a < b);
  }

  private swap(a: number, b: number): void {
    const { heap } = this;
    [heap[a], heap[b]] = [heap[b], heap[a]];
  }
}
