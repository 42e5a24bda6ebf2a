import RBush from 'rbush';
import type { Box } from './polygons';

/** Items loaded in one go: some milliseconds' work. */
const PART = 2048;

interface TreeNode { readonly children: readonly (TreeNode | number)[]; readonly leaf: boolean; readonly minX: number; readonly minY: number; readonly maxX: number; readonly maxY: number }

/**
 * The spatial index of record: rbush over numbered boxes. Items are numbers and their boxes stay in one flat array, which
 * costs a quarter of the memory of one object an item. rbush skips a falsy item, so number 0 is stored as 1 and so on.
 */
export class BoxIndex {
  private edges: Float64Array;
  private readonly tree: RBush<number>;

  constructor(capacity: number) {
    this.edges = new Float64Array(4 * Math.max(4, capacity));
    this.tree = new RBush<number>(9);
    this.tree.toBBox = (item) => this.box(item - 1);
    this.tree.compareMinX = (a, b) => this.edges[4 * a - 4]! - this.edges[4 * b - 4]!;
    this.tree.compareMinY = (a, b) => this.edges[4 * a - 3]! - this.edges[4 * b - 3]!;
  }

  box(item: number): Box {
    const k = 4 * item; const e = this.edges;
    return { minX: e[k]!, minY: e[k + 1]!, maxX: e[k + 2]!, maxY: e[k + 3]! };
  }

  /** Stores a box without indexing it: for bulk loading. */
  put(item: number, minX: number, minY: number, maxX: number, maxY: number): void {
    if (4 * item + 4 > this.edges.length) { const grown = new Float64Array(Math.max(8 * item, 64)); grown.set(this.edges); this.edges = grown; }
    const k = 4 * item;
    this.edges[k] = minX; this.edges[k + 1] = minY; this.edges[k + 2] = maxX; this.edges[k + 3] = maxY;
  }

  /** Indexes the items 0 .. count - 1, whose boxes were put before. */
  loadAll(count: number): void { for (const step of this.loading(count)) void step; }

  /** The same in steps of a few milliseconds. Many items are loaded tile by tile, so that each part is a small tree of its own place. */
  *loading(count: number): Generator<undefined, void> {
    if (count <= PART) { this.tree.load(Array.from({ length: count }, (_, item) => item + 1)); return; }
    const order = this.byTiles(count);
    yield;
    for (let from = 0; from < count; from += PART) {
      this.tree.load(Array.from(order.subarray(from, from + PART)));
      yield;
    }
  }

  /** Items (counted from 1) by square tiles of about PART / 8 items, the rows of tiles running to and fro. */
  private byTiles(count: number): Int32Array {
    const e = this.edges; let left = Infinity; let up = Infinity; let right = -Infinity; let down = -Infinity;
    for (let k = 0; k < 4 * count; k += 4) {
      left = Math.min(left, e[k]!); up = Math.min(up, e[k + 1]!); right = Math.max(right, e[k]!); down = Math.max(down, e[k + 1]!);
    }
    const across = Math.max(1, Math.round(Math.sqrt((8 * count) / PART)));
    const column = (x: number): number => Math.min(across - 1, Math.floor(((x - left) / (right - left || 1)) * across));
    const row = (y: number): number => Math.min(across - 1, Math.floor(((y - up) / (down - up || 1)) * across));
    const tileOf = (item: number): number => { const r = row(e[4 * item + 1]!); const c = column(e[4 * item]!); return r * across + (r % 2 === 0 ? c : across - 1 - c); };
    const start = new Int32Array(across * across + 1); const order = new Int32Array(count);
    for (let item = 0; item < count; item += 1) start[tileOf(item) + 1]! += 1;
    for (let t = 0; t < across * across; t += 1) start[t + 1]! += start[t]!;
    for (let item = 0; item < count; item += 1) { const t = tileOf(item); order[start[t]!] = item + 1; start[t]! += 1; }
    return order;
  }

  /** Gives the item at order[i] the number i, in the tree and in the boxes. `order` holds every item once. */
  renumber(order: readonly number[]): void {
    const fresh = new Float64Array(this.edges.length); const numberOf = new Int32Array(order.length);
    order.forEach((item, i) => { numberOf[item] = i; for (let k = 0; k < 4; k += 1) fresh[4 * i + k] = this.edges[4 * item + k]!; });
    this.edges = fresh;
    const visit = (node: TreeNode): void => {
      if (!node.leaf) { for (const child of node.children) visit(child as TreeNode); return; }
      const items = node.children as number[];
      for (let i = 0; i < items.length; i += 1) items[i] = numberOf[items[i]! - 1]! + 1;
    };
    visit(this.tree.toJSON() as TreeNode);
  }

  insert(item: number): void { this.tree.insert(item + 1); }
  /** Must be called while the item's box is still the one it was indexed by. */
  remove(item: number): void { this.tree.remove(item + 1); }

  search(minX: number, minY: number, maxX: number, maxY: number): number[] {
    const found = this.tree.search({ minX, minY, maxX, maxY });
    for (let i = 0; i < found.length; i += 1) found[i]! -= 1;
    return found;
  }

  /** Walks the tree depth first: enter(box) before a node's content, items(list) at a leaf, leave() after the content. */
  walk(enter: (box: Box) => void, items: (list: readonly number[]) => void, leave: () => void): void {
    const visit = (node: TreeNode): void => {
      enter(node);
      if (node.leaf) items((node.children as readonly number[]).map((item) => item - 1));
      else for (const child of node.children) visit(child as TreeNode);
      leave();
    };
    visit(this.tree.toJSON() as TreeNode);
  }
}
