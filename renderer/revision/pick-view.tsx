import { useEffect, useRef, useState } from 'react';
import type { KeyboardEvent, PointerEvent, RefObject } from 'react';
import type { PlanRef, Sheet } from '../../shared-core/document/index';
import type { Place } from '../../shared-core/revision/index';
import { paintPlan } from '../canvas/paint-plan';
import { inkOf, paintChip } from '../canvas/paint-primitives';
import type { Context } from '../canvas/paint-primitives';
import { fitted, limitsFor, panned, resized, toPlan, toScreen, zoomedAt } from '../canvas/view';
import type { View } from '../canvas/view';
import { host } from '../host-client';
import { createPlanSource } from '../plan/index';
import type { PlanSource } from '../plan/index';

/** A point on this plan that belongs to a pair, with its number; an expected one is only where the fit so far puts it. */
export interface Pin { readonly at: Place; readonly label: string; readonly kind: 'set' | 'half' | 'off' | 'expected' }

const MARGIN = 24;
/** Whoever points at a plan from far away hits no more than one pixel of the screen. */
const picked = (view: View, at: Place): Place => ({ ...toPlan(view, at), within: 1 / view.zoom });
/** A press that moves farther than this drags the plan instead of picking. */
const STILL = 4;
const STEP = 12;
const INK = { set: 'ink', half: 'order', off: 'act', expected: 'order' } as const;

/** The plan's tiles while this view is shown. */
function useSource(plan: PlanRef, repaint: () => void): RefObject<PlanSource | null> {
  const source = useRef<PlanSource | null>(null);
  const key = JSON.stringify([plan.blob, plan.page, plan.layersOff ?? null]);
  useEffect(() => {
    const made = createPlanSource(host, plan);
    source.current = made;
    const stop = made.onChange(repaint);
    return () => { stop(); made.close(); source.current = null; };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the key stands for the plan
  }, [key]);
  return source;
}

function paintPin(context: Context, view: View, { at, label, kind }: Pin): void {
  const p = toScreen(view, at);
  context.lineCap = 'round';
  for (const [width, ink] of [[5, '#ffffff'], [2, inkOf(INK[kind])]] as const) {
    context.lineWidth = width; context.strokeStyle = ink;
    context.setLineDash(kind === 'expected' ? [4, 4] : []);
    context.beginPath();
    context.arc(p.x, p.y, 9, 0, 2 * Math.PI);
    for (const [x, y] of [[1, 0], [-1, 0], [0, 1], [0, -1]] as const) { context.moveTo(p.x + 5 * x, p.y + 5 * y); context.lineTo(p.x + 14 * x, p.y + 14 * y); }
    context.stroke();
  }
  context.setLineDash([]);
  if (label !== '') paintChip(context, p.x + 20, p.y - 18, label, kind === 'off' ? 'act' : 'ink', 12);
}

/**
 * One of the two plans to pick points on: drag moves it, the wheel brings it nearer, a click picks. By keys: arrows move the
 * cross, Enter picks, + - and 0 zoom.
 * @param frame  paper and plan as they are shown; picks come in its coordinates
 */
export function PickView({ label, title, note, frame, plan, pins, lookAt, onPick, paintOver }: {
  label: string; title: string; note: string; frame: Sheet; plan: PlanRef; pins: readonly Pin[]; lookAt: { readonly at: Place } | null;
  onPick: (at: Place) => void; paintOver?: (context: Context, view: View) => void;
}) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const view = useRef<View | null>(null);
  const cross = useRef<Place | null>(null);
  const press = useRef<{ x: number; y: number; moved: boolean } | null>(null);
  const [, repaint] = useState(0);
  const ask = (): void => { repaint((n) => n + 1); };
  const source = useSource(plan, ask);
  const limits = (v: View) => limitsFor(v.width, v.height, frame.width, frame.height);

  useEffect(() => {
    const element = canvas.current;
    if (!element) return undefined;
    const measure = (): void => {
      const { clientWidth: width, clientHeight: height } = element;
      if (width < 2 || height < 2) return;
      const first = view.current === null;
      view.current = resized(view.current ?? { centre: { x: 0, y: 0 } as View['centre'], zoom: 1, width, height }, width, height);
      if (first) view.current = fitted(view.current, { minX: 0, minY: 0, maxX: frame.width, maxY: frame.height }, MARGIN, limits(view.current));
      ask();
    };
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    measure();
    const onWheel = (event: WheelEvent): void => {
      event.preventDefault();
      const now = view.current;
      if (now) { view.current = zoomedAt(now, Math.exp(-event.deltaY * (event.deltaMode === 1 ? 33 : 1) * 0.0016), { x: event.offsetX, y: event.offsetY }, limits(now)); ask(); }
    };
    element.addEventListener('wheel', onWheel, { passive: false });
    return () => { observer.disconnect(); element.removeEventListener('wheel', onWheel); };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- one frame for the life of the view
  }, []);

  useEffect(() => {
    const now = view.current;
    if (!lookAt || !now) return;
    // Near enough to tell a corner, never farther out than the person is already.
    const fit = Math.min(now.width / frame.width, now.height / frame.height);
    view.current = { ...now, centre: lookAt.at as View['centre'], zoom: Math.max(now.zoom, Math.min(4 * fit, limits(now).most)) };
    ask();
    // eslint-disable-next-line react-hooks/exhaustive-deps -- only a new request moves the view
  }, [lookAt]);

  useEffect(() => {
    const element = canvas.current; const now = view.current; const context = element?.getContext('2d');
    if (!element || !now || !context) return;
    const ratio = window.devicePixelRatio;
    const width = Math.round(now.width * ratio); const height = Math.round(now.height * ratio);
    if (element.width !== width || element.height !== height) { element.width = width; element.height = height; }
    context.setTransform(ratio, 0, 0, ratio, 0, 0);
    context.clearRect(0, 0, now.width, now.height);
    paintPlan(context, { view: now, ratio, sheet: frame, plan: source.current });
    paintOver?.(context, now);
    for (const pin of pins) paintPin(context, now, pin);
    if (cross.current) {
      context.strokeStyle = inkOf('order'); context.lineWidth = 1;
      context.beginPath();
      context.moveTo(cross.current.x, 0); context.lineTo(cross.current.x, now.height); context.moveTo(0, cross.current.y); context.lineTo(now.width, cross.current.y);
      context.stroke();
    }
  });

  const place = (event: PointerEvent): Place => ({ x: event.nativeEvent.offsetX, y: event.nativeEvent.offsetY });
  const onMove = (event: PointerEvent<HTMLCanvasElement>): void => {
    const held = press.current; const now = view.current;
    if (!held || !now) return;
    const at = place(event);
    if (!held.moved && Math.hypot(at.x - held.x, at.y - held.y) < STILL) return;
    view.current = panned(now, at.x - held.x, at.y - held.y);
    press.current = { ...at, moved: true };
    ask();
  };
  const onKey = (event: KeyboardEvent): void => {
    const now = view.current;
    if (!now || event.ctrlKey || event.metaKey || event.altKey) return;
    const by = event.shiftKey ? 1 : STEP;
    const move = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by] }[event.key];
    const at = cross.current ?? { x: now.width / 2, y: now.height / 2 };
    if (move) {
      const to = { x: at.x + move[0]!, y: at.y + move[1]! };
      // The plan follows where the cross would leave the view.
      const inside = { x: Math.min(now.width - MARGIN, Math.max(MARGIN, to.x)), y: Math.min(now.height - MARGIN, Math.max(MARGIN, to.y)) };
      view.current = panned(now, inside.x - to.x, inside.y - to.y);
      cross.current = inside;
    } else if (event.key === 'Enter' || event.key === ' ') { cross.current = at; onPick(picked(now, at)); }
    else if (event.key === '+' || event.key === '=') view.current = zoomedAt(now, 1.25, at, limits(now));
    else if (event.key === '-') view.current = zoomedAt(now, 0.8, at, limits(now));
    else if (event.key === '0') view.current = fitted(now, { minX: 0, minY: 0, maxX: frame.width, maxY: frame.height }, MARGIN, limits(now));
    else return;
    event.preventDefault(); event.stopPropagation();
    ask();
  };
  return (
    <figure className="pick-view">
      <figcaption><b>{title}</b> <span>{note}</span></figcaption>
      <canvas ref={canvas} className="pick-canvas" tabIndex={0} role="application" aria-label={label} onKeyDown={onKey} onPointerMove={onMove}
        onPointerDown={(event) => { if (event.button !== 0 && event.button !== 1) return; event.currentTarget.setPointerCapture(event.pointerId); event.currentTarget.focus({ preventScroll: true }); press.current = { ...place(event), moved: event.button === 1 }; }}
        onPointerUp={(event) => {
          const held = press.current; const now = view.current;
          press.current = null;
          if (held && now && !held.moved) { cross.current = null; onPick(picked(now, place(event))); }
        }} onPointerCancel={() => { press.current = null; }} onBlur={() => { if (cross.current) { cross.current = null; ask(); } }} />
    </figure>
  );
}

/** A frame that shows a plan by itself, upright in its own units. */
export const frameOf = (sheet: Sheet, plan: PlanRef): Sheet => ({ ...sheet, plan, width: plan.width, height: plan.height, fade: 0 });
