import { previewEdit } from '../../shared-core/document/index';
import type { Document, Edit, Entity, Id, Point, ScalePick } from '../../shared-core/document/index';
import { feet } from '../../shared-core/units/index';
import type { WallOffer } from '../../shared-core/offer/index';
import type { PlanPick, ToolId } from '../state/store';
import { copyEdit } from './change';
import { TOOLS } from './index';
import type { AnyTool } from './index';
import { nudgeStep } from './select-tool';
import { lengthOnSheet, pointAt, shifted } from './plan-geometry';
import { toolOfKey } from './keys';
import { entityOf, NO_DRAFT, NO_MODIFIERS } from './tool';
import type { Draft, Modifiers, Step, ToolContext, ToolEvent } from './tool';
import { entryPoint, readEntry } from './typed-entry';
import type { EntryFault } from './typed-entry';

/** What the runner may do to the program; the store's own actions fit. */
export interface RunnerTarget {
  commit(edit: Edit): void;
  /** @param changed  ids that differ from the document the preview was made from */
  setPreview(preview: Document | null): void;
  select(ids: readonly Id[]): void;
  setTool(tool: ToolId): void;
  inspectId(id: Id): void;
  setScalePick(pick: Pick<ScalePick, 'from' | 'to' | 'within'> | null): void;
  setPlanPick(pick: PlanPick | null): void;
  setPlacing(load: Id | null): void;
  setHint(hint: string): void;
  setOffer(offer: WallOffer): void;
  undo(): void;
  redo(): void;
}

export interface RunnerView {
  readonly tool: ToolId;
  readonly draft: Draft;
  readonly say: string;
  readonly isBusy: boolean;
  /** The keyboard's cross-hair, while it is in use. */
  readonly cursor: Point | null;
}

export interface Runner {
  pointer(type: 'press' | 'move' | 'release', at: Point, modifiers: Modifiers, clicks?: number): void;
  /** @returns whether the key was used; an unused key is the window's. */
  key(key: string, modifiers: Modifiers): boolean;
  /** A key that begins an exact entry, now: digits and signs where a position or a length can be typed. */
  startsTyping(key: string): boolean;
  typed(text: string, modifiers: Modifiers): { readonly ok: true } | EntryFault;
  /** The pointer left the plan: what was only shown for placing is taken away, what is under way stays. */
  leave(): void;
  /** Drops what is under way: Escape, loss of focus, another tool. */
  cancel(): void;
  /** The store's tool changed from elsewhere. */
  toolChanged(tool: ToolId): void;
  view(): RunnerView;
}

/**
 * Routes events to the tool in use and carries out its answers. A preview is the document as it would be; only an
 * answered edit changes anything, so a drag is one step of undo and Escape leaves no trace.
 * @param context  asked anew for each event, because zoom, selection and document change between them
 * @param middle   where the keyboard's cross-hair starts: the middle of what is seen
 */
export function createRunner(target: RunnerTarget, context: () => ToolContext | null, middle: () => Point): Runner {
  let tool: AnyTool = TOOLS.select;
  let state: unknown = null;
  let draft: Draft = NO_DRAFT;
  let say = '';
  let told = false;
  let pointed: Point | null = null;
  let cursor: Point | null = null;
  let cursorMoved = false;
  let hasPreview = false;
  let clipboard: readonly Entity[] = [];
  let pasted = 0;

  const isBusy = (): boolean => state !== null && tool.isBusy(state);
  const started = (now: ToolContext): unknown => { state ??= tool.start(now); return state; };

  const answer = (step: Step<unknown>, event: ToolEvent, now: ToolContext): void => {
    state = step.state;
    draft = step.draft ?? NO_DRAFT;
    // What was just done, and can be changed, stays to be read while the hand only moves on.
    const isPassing = event.type === 'move' || event.type === 'release';
    if (step.say !== undefined && !(told && isPassing && !step.edit)) { say = step.say; told = step.edit !== undefined; target.setHint(say); }
    else if (!isPassing) told = false;
    if (step.edit) {
      hasPreview = false; target.setPreview(null); target.commit(step.edit);
      if (tool.id === 'load' && now.placing !== null) target.setPlacing(null);
    }
    else if (step.preview) { hasPreview = true; target.setPreview(previewEdit(now.document, step.preview)); }
    else if (hasPreview) { hasPreview = false; target.setPreview(null); }
    if (step.scalePick !== undefined) target.setScalePick(step.scalePick);
    if (step.planPick !== undefined) target.setPlanPick(step.planPick);
    if (step.offer) target.setOffer(step.offer);
    if (step.select) target.select(step.select);
    if (step.inspect !== undefined) target.inspectId(step.inspect);
  };

  const send = (event: ToolEvent): boolean => {
    const now = context();
    if (!now) return false;
    const step = tool.step(started(now), event, now);
    if (step.unused) return false;
    answer(step, event, now);
    return true;
  };

  const drop = (): void => {
    if (tool.id === 'scale' && isBusy()) target.setScalePick(null);
    state = null; draft = NO_DRAFT; say = ''; told = false; cursorMoved = false;
    target.setHint('');
    if (hasPreview) { hasPreview = false; target.setPreview(null); }
  };

  const takeUp = (next: ToolId): void => { drop(); tool = TOOLS[next]; };

  const clickAt = (at: Point): void => {
    send({ type: 'press', at, modifiers: NO_MODIFIERS, clicks: 1 });
    send({ type: 'release', at, modifiers: NO_MODIFIERS, clicks: 1 });
    cursorMoved = false;
  };

  const moveCursor = (key: string, modifiers: Modifiers): boolean => {
    const direction = ARROWS[key];
    const now = context();
    if (!direction || !now || modifiers.control) return false;
    const from = cursor ?? pointed ?? middle();
    const step = nudgeStep(now, modifiers.shift);
    cursor = shifted(from, { x: direction.x * step, y: direction.y * step });
    cursorMoved = true;
    send({ type: 'move', at: cursor, modifiers: NO_MODIFIERS, clicks: 0 });
    return true;
  };

  const copy = (): boolean => {
    const now = context();
    if (!now || now.selection.length === 0) return false;
    clipboard = now.selection.map((id) => entityOf(now.document, id)).filter((e): e is Entity => e !== null);
    pasted = 0;
    return true;
  };

  const paste = (originals: readonly Entity[]): boolean => {
    const now = context();
    if (!now || originals.length === 0) return false;
    pasted += 1;
    const step = (lengthOnSheet(now.sheet, feet(2)) ?? 24 * now.precision) * pasted;
    const { edit, ids } = copyEdit(now.document, originals, { x: step, y: step }, now.sheet.id, now.newId);
    target.commit(edit);
    target.select(ids);
    return true;
  };

  const controlKey = (key: string, modifiers: Modifiers): boolean => {
    switch (key.toLowerCase()) {
      case 'z':
        // An unfinished line gives back its last point before undo reaches what is done.
        if (isBusy()) { if (!send({ type: 'key', key: 'Backspace', modifiers: NO_MODIFIERS, at: pointed ?? middle() })) drop(); }
        else if (modifiers.shift) target.redo(); else target.undo();
        return true;
      case 'y': target.redo(); return true;
      case 'c': return copy();
      case 'v': return paste(clipboard);
      case 'd': { const now = context(); pasted = 0; return now ? paste(now.selection.map((id) => entityOf(now.document, id)).filter((e): e is Entity => e !== null)) : false; }
      case 'a': { const now = context(); if (!now) return false; target.select([...now.index.all()].map((e) => e.id)); return true; }
      default: return false;
    }
  };

  return {
    pointer: (type, at, modifiers, clicks = 1) => {
      pointed = at; cursor = null; cursorMoved = false;
      send({ type, at, modifiers, clicks });
    },
    key: (key, modifiers) => {
      if (modifiers.control) return controlKey(key, modifiers);
      if (key === 'Escape') {
        if (isBusy() || hasPreview) { const wasBusy = isBusy(); drop(); if (wasBusy) return true; }
        if (tool.id !== 'select') { takeUp('select'); target.setTool('select'); return true; }
        const now = context();
        if (now && now.selection.length > 0) { target.select([]); return true; }
        return false;
      }
      // Enter is a click at the cross-hair once it has been moved there; otherwise it finishes what is under way.
      if (key === 'Enter' && tool.id !== 'select' && cursor && (cursorMoved || !isBusy())) { clickAt(cursor); return true; }
      const at = cursor ?? pointed ?? middle();
      if (tool.id === 'select' ? send({ type: 'key', key, modifiers, at }) : moveCursor(key, modifiers) || send({ type: 'key', key, modifiers, at })) return true;
      const next = key.length === 1 && !modifiers.alt ? toolOfKey(key) : null;
      if (!next || (tool.id === 'select' && isBusy())) return false;
      takeUp(next); target.setTool(next);
      return true;
    },
    startsTyping: (key) => {
      if (tool.id === 'select') { const now = context(); return now !== null && now.selection.length > 0 && (isBusy() ? /^[\d.,=<-]$/ : /^[1-9.,=]$/).test(key); }
      return /^[\d.,=-]$/.test(key);
    },
    typed: (text, modifiers) => {
      const now = context();
      if (!now) return { ok: false, reason: 'There is no sheet to place anything on.', choices: [] };
      const read = readEntry(text, now.document.facts.units);
      if (!read.ok) return read;
      const { from, asks } = tool.typing(started(now), now);
      if (asks === 'length') {
        if (read.entry.kind !== 'length') return { ok: false, reason: "Write one length, e.g. 12'-6\" or 3.8 m.", choices: [] };
        send({ type: 'length', length: read.entry.length, typed: text.trim(), modifiers });
        return { ok: true };
      }
      if (read.entry.kind === 'size') {
        const width = lengthOnSheet(now.sheet, read.entry.width); const height = lengthOnSheet(now.sheet, read.entry.height);
        if (width !== null && height !== null && send({ type: 'size', width, height })) return { ok: true };
      }
      const point = entryPoint(read.entry, now.sheet, from, cursor ?? pointed ?? pointAt((from?.x ?? 0) + 1, from?.y ?? 0));
      if (!point.ok) return point;
      if (!send({ type: 'place', at: point.at })) return { ok: false, reason: 'Choose a tool, or something to move, first.', choices: [] };
      cursor = point.at; cursorMoved = false;
      return { ok: true };
    },
    leave: () => {
      if (isBusy()) return;
      draft = state === null ? NO_DRAFT : tool.resting?.(state) ?? NO_DRAFT;
      if (hasPreview) { hasPreview = false; target.setPreview(null); }
    },
    cancel: drop,
    toolChanged: (next) => { if (next !== tool.id) takeUp(next); },
    view: () => ({ tool: tool.id, draft, say, isBusy: isBusy(), cursor }),
  };
}

const ARROWS: Readonly<Record<string, { x: number; y: number }>> = { ArrowLeft: { x: -1, y: 0 }, ArrowRight: { x: 1, y: 0 }, ArrowUp: { x: 0, y: -1 }, ArrowDown: { x: 0, y: 1 } };
