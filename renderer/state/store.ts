import { createStore } from 'zustand/vanilla';
import { worstVerdict } from '../../shared-core/code-data/index';
import { applyEdit, emptyDocument, invertEdit } from '../../shared-core/document/index';
import type { Document, Edit, Id, Point, ScalePick } from '../../shared-core/document/index';
import type { PairReport, SaidMargin, TargetKind } from '../../shared-core/checks/index';
import type { Audit } from '../../shared-core/audit/index';
import type { WallOffer } from '../../shared-core/offer/index';

export type ToolId = 'select' | 'scale' | 'wall' | 'opening' | 'obstruction' | 'area' | 'load' | 'machine' | 'controller' | 'disconnect' | 'supply' | 'route' | 'link' | 'measure' | 'review' | 'level' | 'crop' | 'corners';
/** What is pointed at on the plan itself, not on a mark: a line that should be level, a rectangle to keep, four corners of something rectangular. */
export type PlanPickId = Extract<ToolId, 'level' | 'crop' | 'corners'>;
/** within is how far the worst of the points may be off, sheet units; 0: as exact as the plan allows. */
export interface PlanPick { readonly id: PlanPickId; readonly points: readonly Point[]; readonly within?: number }
/** The steps of the work, as the job rail shows them. */
export type StepId = 'plan' | 'scale' | 'space' | 'loads' | 'disconnects' | 'findings' | 'hand-over';

export interface Notice { readonly id: number; readonly kind: 'note' | 'problem'; readonly what: string; readonly todo: string }

export interface State {
  readonly document: Document;
  /** Grows by one with every change of the document; results carry the revision they were computed for. */
  readonly revision: number;
  /** Edits that undo would take back, oldest first; and those that redo would do again. */
  readonly done: readonly Edit[];
  readonly undone: readonly Edit[];
  readonly savedRevision: number;
  readonly project: { readonly handle: string; readonly name: string } | null;
  readonly sheet: Id | null;
  readonly selection: readonly Id[];
  readonly tool: ToolId;
  readonly step: StepId;
  /** The document as it would be if the drag in progress ended here; null when nothing is dragged. */
  readonly preview: Document | null;
  /** 'of' is the document it was computed from, so that a part no later edit touches can still be shown as true. */
  readonly audit: { readonly revision: number; readonly audit: Audit; readonly of: Document | null } | null;
  /** Sight of the disconnects that the drag in progress or the last edit concerns, computed at once for exactly this document; stale as soon as another is shown. */
  readonly live: { readonly of: Document; readonly disconnects: readonly Id[]; readonly pairs: readonly PairReport[] } | null;
  /** How far the handle of one device may move and what it sees, for this revision and no other. */
  readonly margins: { readonly revision: number; readonly margins: Id; readonly said: readonly SaidMargin[] } | null;
  readonly notices: readonly Notice[];
  /** Asks the canvas to bring something into view; a new object each time. */
  readonly reveal: { readonly ids: readonly Id[]; readonly at?: readonly Point[] } | null;
  /** Asks the side panel to take the keyboard for this thing's fields (Enter or a double click on the plan); a new object each time. */
  readonly inspect: { readonly id: Id } | null;
  /** Two points picked on the sheet by the scale tool; the scale step asks for their length, then clears them. */
  readonly scalePick: Pick<ScalePick, 'from' | 'to' | 'within'> | null;
  /** Points picked on the plan itself; the plan step asks what to do with them, then clears them. */
  readonly planPick: PlanPick | null;
  /** The waiting load that the next click of the load tool places; null: a click makes a new load. */
  readonly placing: Id | null;
  /** What the tool in hand expects next ('click the second end, or type a length'); the canvas writes it, the tool bar shows it. */
  readonly hint: string;
  /** Walls the plan itself shows, under review; never part of the document. */
  readonly offer: WallOffer | null;
  /** The pair whose sight line the elevation shows. */
  readonly pair: { readonly disconnect: Id; readonly load: Id; readonly target: TargetKind } | null;
}

export interface Actions {
  /** Replaces everything: another project was opened. */
  readonly load: (document: Document, project: State['project']) => void;
  readonly commit: (edit: Edit) => void;
  readonly undo: () => void;
  readonly redo: () => void;
  readonly setPreview: (preview: Document | null) => void;
  readonly select: (ids: readonly Id[]) => void;
  readonly setTool: (tool: ToolId) => void;
  readonly setStep: (step: StepId) => void;
  readonly showSheet: (sheet: Id) => void;
  readonly setAudit: (revision: number, audit: Audit) => void;
  readonly markSaved: (revision: number, project: State['project']) => void;
  readonly notify: (kind: Notice['kind'], what: string, todo: string) => void;
  readonly dismiss: (id: number) => void;
  readonly setLive: (live: State['live']) => void;
  readonly setMargins: (margins: State['margins']) => void;
  /** @param at  positions of the first mark's sheet that are to be seen as well; without marks, positions of the shown sheet */
  readonly revealIds: (ids: readonly Id[], at?: readonly Point[]) => void;
  readonly inspectId: (id: Id) => void;
  readonly setScalePick: (pick: State['scalePick']) => void;
  readonly setPlanPick: (pick: PlanPick | null) => void;
  readonly setPlacing: (load: Id | null) => void;
  readonly setHint: (hint: string) => void;
  readonly setPair: (pair: State['pair']) => void;
  readonly setOffer: (offer: WallOffer | null) => void;
}

const UNDO_DEPTH = 500;
let noticeCount = 0;

/** An open elevation follows the choice: the worst pair of the newly chosen device or load, or none; never an old pair under a new choice. */
function pairFor({ pair, audit }: State, selection: readonly Id[]): State['pair'] {
  const [chosen] = selection;
  if (!pair || chosen === undefined || selection.length > 1 || chosen === pair.disconnect || chosen === pair.load) return pair;
  const own = audit?.audit.pairs.filter((p) => p.disconnect === chosen || p.load === chosen) ?? [];
  if (own.length === 0) return null;
  const worst = worstVerdict(own.map((p) => p.verdict));
  const found = own.find((p) => p.verdict === worst);
  return found ? { disconnect: found.disconnect, load: found.load, target: found.target } : null;
}

/** The one store: document, session and results. Only commit, undo, redo and load change the document. */
export const store = createStore<State & Actions>()((set, get) => {
  const replace = (document: Document, rest: Partial<State>): void => {
    const selection = get().selection.filter((id) => Object.hasOwn(document.entities, id));
    set({ document, revision: get().revision + 1, preview: null, selection, ...rest });
  };
  return {
    document: emptyDocument(), revision: 0, done: [], undone: [], savedRevision: 0, project: null, sheet: null, selection: [], tool: 'select',
    step: 'plan', preview: null, audit: null, live: null, margins: null, notices: [], reveal: null, inspect: null,
    scalePick: null, planPick: null, placing: null, hint: '', pair: null, offer: null,
    load: (document, project) => {
      const revision = get().revision + 1;
      set({ document, project, revision, savedRevision: revision, done: [], undone: [], selection: [], preview: null, audit: null, live: null, margins: null, tool: 'select',
        scalePick: null, planPick: null, placing: null, hint: '', pair: null, offer: null, sheet: document.sheets[0]?.id ?? null });
    },
    commit: (edit) => { if (edit.patches.length > 0) replace(applyEdit(get().document, edit), { done: [...get().done.slice(1 - UNDO_DEPTH), edit], undone: [] }); },
    undo: () => {
      const edit = get().done.at(-1);
      if (edit) replace(applyEdit(get().document, invertEdit(edit)), { done: get().done.slice(0, -1), undone: [...get().undone, edit] });
    },
    redo: () => {
      const edit = get().undone.at(-1);
      if (edit) replace(applyEdit(get().document, edit), { done: [...get().done, edit], undone: get().undone.slice(0, -1) });
    },
    setPreview: (preview) => { set({ preview }); },
    select: (selection) => { set({ selection, pair: pairFor(get(), selection) }); },
    setTool: (tool) => { set({ tool, hint: '', scalePick: null, planPick: null, ...(tool === 'load' ? {} : { placing: null }) }); },
    setStep: (step) => { set({ step }); },
    showSheet: (sheet) => { set({ sheet, selection: [], preview: null, scalePick: null, planPick: null }); },
    setAudit: (revision, audit) => {
      if (revision >= (get().audit?.revision ?? 0)) set({ audit: { revision, audit, of: revision === get().revision ? get().document : null } });
    },
    setLive: (live) => { set({ live }); },
    setMargins: (margins) => { set({ margins }); },
    markSaved: (savedRevision, project) => { set({ savedRevision, project }); },
    notify: (kind, what, todo) => { noticeCount += 1; set({ notices: [...get().notices, { id: noticeCount, kind, what, todo }] }); },
    dismiss: (id) => { set({ notices: get().notices.filter((n) => n.id !== id) }); },
    revealIds: (ids, at = []) => { set({ reveal: { ids, at } }); },
    inspectId: (id) => { set({ inspect: { id } }); },
    setScalePick: (scalePick) => { set({ scalePick }); },
    setPlanPick: (planPick) => { set({ planPick }); },
    setPlacing: (placing) => { set({ placing }); },
    setHint: (hint) => { if (hint !== get().hint) set({ hint }); },
    setPair: (pair) => { set({ pair }); },
    setOffer: (offer) => { set({ offer }); },
  };
});
