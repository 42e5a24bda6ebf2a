import { applyEdit, emptyDocument, invertEdit, putEntities } from '../../shared-core/document/index';
import type { Disconnect, Document, Edit, Entity, Id, Load, Obstruction, Point, ScalePick, Sheet, Wall } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { pickAt, pickWithin } from '../../renderer/canvas/pick';
import { halfThickness, pointAt } from '../../renderer/tools/plan-geometry';
import { PlanIndex } from '../../renderer/tools/plan-index';
import { createRunner } from '../../renderer/tools/runner';
import type { Runner } from '../../renderer/tools/runner';
import { snapPoint } from '../../renderer/tools/snap';
import { NO_MODIFIERS } from '../../renderer/tools/tool';
import type { Modifiers, ToolContext } from '../../renderer/tools/tool';
import type { PlanPick, ToolId } from '../../renderer/state/store';
import type { WallOffer } from '../../shared-core/offer/index';

/** A sheet of 100 ft by 80 ft at 10 sheet units a foot. */
export const sheet: Sheet = {
  id: 'sheet-1', name: 'Level 1', plan: null, width: sheetUnits(1000), height: sheetUnits(800), fade: 0, level: { name: 'Level 1', floor: feet(0) },
  scale: { feetPerUnit: 0.1, relativeUncertainty: 0.004, pickUncertainty: sheetUnits(0.5), from: { kind: 'stated', typed: '1:100', ratio: 100, unitsPerPaperInch: 72 } },
};
export const at = (x: number, y: number): Point => pointAt(x, y);
export const wallOf = (id: Id, ...points: readonly (readonly [number, number])[]): Wall =>
  ({ kind: 'wall', id, sheet: sheet.id, points: points.map(([x, y]) => at(x, y)), thickness: feet(1), bottom: feet(0), top: feet(10), material: 'opaque', openings: [] });
export const tankOf = (id: Id, x1: number, y1: number, x2: number, y2: number): Obstruction =>
  ({ kind: 'obstruction', id, sheet: sheet.id, label: 'T-1', outline: [at(x1, y1), at(x2, y1), at(x2, y2), at(x1, y2)], bottom: feet(0), top: feet(9), material: 'opaque' });
export const loadOf = (id: Id, tag: string, x: number, y: number): Load =>
  ({ kind: 'load', id, sheet: sheet.id, tag, name: 'pump', at: at(x, y), height: feet(2), standing: feet(0), data: { kind: 'motor' } });
export const switchOf = (id: Id, tag: string, x: number, y: number, serves: readonly Id[] = []): Disconnect =>
  ({ kind: 'disconnect', id, sheet: sheet.id, tag, at: at(x, y), handleHeight: feet(5), standing: feet(0), facing: 90, mount: null, serves, data: {} });

export const documentWith = (...entities: readonly Entity[]): Document => {
  const empty: Document = { ...emptyDocument(), sheets: [sheet] };
  return applyEdit(empty, putEntities(empty, 'set up', entities));
};

/** A plan with hands but no screen: the runner over a plain document, one sheet unit per pixel. */
export class Workbench {
  document: Document;
  selection: readonly Id[] = [];
  preview: Document | null = null;
  tool: ToolId = 'select';
  inspected: Id | null = null;
/** Sheet units a pixel: what the zoom makes of pointing. */
  precision = 1;
  scalePick: Pick<ScalePick, 'from' | 'to' | 'within'> | null = null;
  planPick: PlanPick | null = null;
  placing: Id | null = null;
  hint = '';
  offer: WallOffer | null = null;
  readonly done: Edit[] = [];
  readonly undone: Edit[] = [];
  readonly runner: Runner;
  private readonly index = new PlanIndex();
  private count = 0;

  constructor(document: Document) {
    this.document = document;
    this.runner = createRunner({
      commit: (edit) => { if (edit.patches.length === 0) return; this.document = applyEdit(this.document, edit); this.done.push(edit); this.undone.length = 0; this.keepSelection(); },
      setPreview: (preview) => { this.preview = preview; },
      select: (ids) => { this.selection = ids; },
      setTool: (tool) => { this.tool = tool; },
      inspectId: (id) => { this.inspected = id; },
      setScalePick: (pick) => { this.scalePick = pick; },
      setPlanPick: (pick) => { this.planPick = pick; },
      setPlacing: (load) => { this.placing = load; },
      setHint: (hint) => { this.hint = hint; },
      setOffer: (offer) => { this.offer = offer; },
      undo: () => { const edit = this.done.pop(); if (edit) { this.document = applyEdit(this.document, invertEdit(edit)); this.undone.push(edit); this.keepSelection(); } },
      redo: () => { const edit = this.undone.pop(); if (edit) { this.document = applyEdit(this.document, edit); this.done.push(edit); this.keepSelection(); } },
    }, () => this.context(), () => at(500, 400));
  }

  private keepSelection(): void { this.selection = this.selection.filter((id) => Object.hasOwn(this.document.entities, id)); }

  private context(): ToolContext {
    const now = this.document.sheets[0] ?? sheet;
    this.index.update(this.document, now.id);
    const reach = 8;
    const options = { reach, symbol: 10, halfThickness: (t: number) => halfThickness(now, feet(t)) };
    return {
      document: this.document, sheet: now, selection: this.selection, placing: this.placing, index: this.index, offer: this.offer, reach, precision: this.precision,
      pick: (p, kinds) => pickAt(this.index, p, { ...options, kinds }),
      within: (box, touching) => pickWithin(this.index, box, touching),
      snap: (raw, rest) => snapPoint(this.index, raw, { reach, ...rest }),
      newId: (kind) => { this.count += 1; return `${kind}-new${this.count}`; },
    };
  }

  take(tool: ToolId): this { this.tool = tool; this.runner.toolChanged(tool); return this; }
  press(x: number, y: number, modifiers: Partial<Modifiers> = {}, clicks = 1): this { this.runner.pointer('press', at(x, y), { ...NO_MODIFIERS, ...modifiers }, clicks); return this; }
  move(x: number, y: number, modifiers: Partial<Modifiers> = {}): this { this.runner.pointer('move', at(x, y), { ...NO_MODIFIERS, ...modifiers }); return this; }
  release(x: number, y: number, modifiers: Partial<Modifiers> = {}): this { this.runner.pointer('release', at(x, y), { ...NO_MODIFIERS, ...modifiers }); return this; }
  click(x: number, y: number, modifiers: Partial<Modifiers> = {}, clicks = 1): this { return this.move(x, y, modifiers).press(x, y, modifiers, clicks).release(x, y, modifiers); }
  drag(x1: number, y1: number, x2: number, y2: number, modifiers: Partial<Modifiers> = {}): this {
    return this.press(x1, y1, modifiers).move((x1 + x2) / 2, (y1 + y2) / 2, modifiers).move(x2, y2, modifiers).release(x2, y2, modifiers);
  }
  key(key: string, modifiers: Partial<Modifiers> = {}): boolean { return this.runner.key(key, { ...NO_MODIFIERS, ...modifiers }); }
  type(text: string, modifiers: Partial<Modifiers> = {}): ReturnType<Runner['typed']> { return this.runner.typed(text, { ...NO_MODIFIERS, ...modifiers }); }

  all<K extends Entity['kind']>(kind: K): Extract<Entity, { kind: K }>[] { return Object.values(this.document.entities).filter((e): e is Extract<Entity, { kind: K }> => e.kind === kind); }
  the<K extends Entity['kind']>(kind: K): Extract<Entity, { kind: K }> {
    const [only, ...more] = this.all(kind);
    if (!only || more.length > 0) throw new Error(`expected one ${kind}, found ${this.all(kind).length}`);
    return only;
  }
  lastEdit(): string { return this.done.at(-1)?.name ?? ''; }
}
