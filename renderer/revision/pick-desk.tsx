import { useMemo } from 'react';
import { planTitle } from '../../shared-core/document/index';
import { applySimilarity, invertSimilarity } from '../../shared-core/geometry/index';
import type { Place } from '../../shared-core/revision/index';
import type { Context } from '../canvas/paint-primitives';
import { toScreen } from '../canvas/view';
import type { View } from '../canvas/view';
import { useApp } from '../panels/use-app';
import { fitPairs, useRevision } from '../state/revision';
import type { RevisionWork } from '../state/revision';
import { store } from '../state/store';
import { words } from '../text/index';
import { pointsOf } from '../tools/plan-geometry';
import { pickPoint } from './actions';
import { frameOf, PickView } from './pick-view';
import type { Pin } from './pick-view';

type Picking = Extract<RevisionWork, { kind: 'picking' }>;

/** The walls and marks of the sheet, thin: they say which building this is, and must not hide the print. */
function paintMarks(sheet: string): (context: Context, view: View) => void {
  const entities = Object.values(store.getState().document.entities).filter((e) => e.sheet === sheet && e.kind !== 'area' && e.kind !== 'route');
  return (context, view) => {
    context.save();
    context.strokeStyle = 'rgb(27 82 154 / 65%)'; context.lineWidth = 1.2;
    for (const entity of entities) {
      const outline = 'outline' in entity ? entity.outline : undefined;
      const points = (outline ?? pointsOf(entity)).map((p) => toScreen(view, p));
      context.beginPath();
      if (points.length === 1) { const [p] = points; if (p) context.arc(p.x, p.y, 3, 0, 2 * Math.PI); }
      else points.forEach((p, i) => { if (i === 0) context.moveTo(p.x, p.y); else context.lineTo(p.x, p.y); });
      if (outline) context.closePath();
      context.stroke();
    }
    context.restore();
  };
}

/** Both plans beside each other to pick the same points on; the new one turns to where the fit so far expects the next. */
export function PickDesk({ work }: { work: Picking }) {
  const sheet = useApp((s) => s.document.sheets.find((one) => one.id === work.sheet));
  const look = useRevision((s) => s.lookAt);
  const fit = useMemo(() => { const outcome = fitPairs(work.old, work.plan, work.pairs); return outcome.ok ? outcome.fit : null; }, [work.old, work.plan, work.pairs]);
  const marks = useMemo(() => paintMarks(work.sheet), [work.sheet]);
  const half = work.half;
  const expected = useMemo((): { readonly side: 'old' | 'new'; readonly at: Place } | null => {
    if (!half || !fit) return null;
    return half.side === 'old' ? { side: 'new', at: applySimilarity(invertSimilarity(fit.lay), half.at) } : { side: 'old', at: applySimilarity(fit.lay, half.at) };
  }, [half, fit]);
  const lookAt = useMemo(() => ({
    old: expected?.side === 'old' ? { at: expected.at } : look ? { at: look.pair.sheet } : null,
    new: expected?.side === 'new' ? { at: expected.at } : look ? { at: look.pair.picture } : null,
  }), [expected, look]);
  if (!sheet) return null;
  const pinsOf = (side: 'old' | 'new'): Pin[] => [
    ...work.pairs.map((pair, i): Pin => ({ at: side === 'old' ? pair.sheet : pair.picture, label: String(i + 1), kind: fit?.agreement.kind === 'one-off' && fit.agreement.pair === i ? 'off' : 'set' })),
    ...(half?.side === side ? [{ at: half.at, label: String(work.pairs.length + 1), kind: 'half' } as const] : []),
    ...(expected?.side === side ? [{ at: expected.at, label: words.revision.about, kind: 'expected' } as const] : []),
  ];
  const t = words.revision;
  return (
    <div className="pick-desk">
      <PickView label={t.pickOn(t.oldPlan)} title={t.oldPlan} note={planTitle(work.old)} frame={{ ...sheet, plan: work.old, fade: 0 }} plan={work.old} pins={pinsOf('old')} lookAt={lookAt.old} onPick={(at) => { pickPoint('old', at); }} paintOver={marks} />
      <PickView label={t.pickOn(t.newPlan)} title={t.newPlan} note={planTitle(work.plan)} frame={frameOf(sheet, work.plan)} plan={work.plan} pins={pinsOf('new')} lookAt={lookAt.new} onPick={(at) => { pickPoint('new', at); }} />
    </div>
  );
}
