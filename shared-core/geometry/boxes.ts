import RBush from 'rbush';
import type { Box } from './polygons';

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
  loadAll(count: number): void {
    this.tree.load(Array.from({ length: count }, (_, item) => item + 1));
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
