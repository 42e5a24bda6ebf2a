import { setSheets } from '../document/index';
import type { Document, Edit, Id, PlanRef, Sheet, Touched } from '../document/index';
import { sheetUnits } from '../units/index';
import { keptFindings } from './findings';
import type { Finding } from './findings';
import type { Fit } from './fit';

export interface Laying {
  readonly sheet: Id;
  /** The plan as it will lie, with its issue. */
  readonly plan: PlanRef;
  /** How well the pairs fit; null where an earlier plan is laid again the way it lay. */
  readonly fit: Fit | null;
  /** Marks the change touched: they count as unproved until a person looked them over. */
  readonly touched: readonly Id[];
  /** What the checks said before, null where they had not run, and why each mark counts as touched: kept with the sheet. */
  readonly before?: { readonly findings: readonly Finding[] | null; readonly touched: readonly Touched[] };
  /** Drawing area that the plan needs, sheet units from the sheet's corner; the area never shrinks. */
  readonly area?: { readonly width: number; readonly height: number };
}

const isSame = (a: PlanRef, b: PlanRef): boolean => JSON.stringify(a) === JSON.stringify(b);

function withPlan({ sinceLaid: _, ...sheet }: Sheet, { plan, fit, touched, area, before }: Laying): Sheet {
  const earlier = [...(sheet.plan ? [sheet.plan] : []), ...(sheet.earlier ?? []).filter((p) => !isSame(p, plan))];
  const toLookOver = [...new Set([...(sheet.toLookOver ?? []), ...touched])];
  // What is drawn from the new picture is off by its fit as well; whoever knows better picks a length on it.
  const scale = sheet.scale && fit ? { ...sheet.scale, relativeUncertainty: Math.hypot(sheet.scale.relativeUncertainty, fit.relativeUncertainty), pickUncertainty: sheetUnits(Math.max(sheet.scale.pickUncertainty, fit.worst, fit.pickedWithin)) } : sheet.scale;
  const width = sheetUnits(Math.max(sheet.width, area?.width ?? 0)); const height = sheetUnits(Math.max(sheet.height, area?.height ?? 0));
  return { ...sheet, plan, scale, width, height, ...(earlier.length > 0 ? { earlier } : {}), ...(toLookOver.length > 0 ? { toLookOver } : {}),
    ...(before ? { sinceLaid: { blob: plan.blob, page: plan.page, findings: before.findings && keptFindings(before.findings), touched: before.touched } } : {}) };
}

/**
 * Lays another plan under a sheet's marks, in one edit. No mark moves. The plan that lay there is kept as an earlier one, the
 * scale's uncertainty takes in that of the fit, the marks touched are noted as not looked over, and what
 * was open before stays with the sheet.
 * @throws RangeError when the document has no such sheet
 */
export function layPlan(document: Document, name: string, laying: Laying): Edit {
  if (!document.sheets.some((s) => s.id === laying.sheet)) throw new RangeError(`no sheet ${laying.sheet}`);
  return setSheets(document, name, document.sheets.map((s) => (s.id === laying.sheet ? withPlan(s, laying) : s)));
}

/** Notes that a person looked marks over after the plan changed. */
export function lookedOver(document: Document, name: string, sheet: Id, marks: readonly Id[]): Edit {
  const done = new Set(marks);
  return setSheets(document, name, document.sheets.map((s) => {
    if (s.id !== sheet || !s.toLookOver) return s;
    const { toLookOver, ...rest } = s;
    const left = toLookOver.filter((id) => !done.has(id) && Object.hasOwn(document.entities, id));
    return left.length > 0 ? { ...rest, toLookOver: left } : rest;
  }));
}
