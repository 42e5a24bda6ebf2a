import { useLayoutEffect, useMemo, useRef, useState, useSyncExternalStore } from 'react';
import type { KeyboardEvent, PointerEvent } from 'react';
import { changedIds, putEntities } from '../../shared-core/document/index';
import type { PairReport } from '../../shared-core/checks/index';
import type { Document, Entity } from '../../shared-core/document/index';
import { feet, showLength } from '../../shared-core/units/index';
import type { Feet, UnitSystem } from '../../shared-core/units/index';
import { liveCheck } from '../canvas/index';
import { store } from '../state/store';
import { words } from '../text/index';
import { elevationOf, pairOf } from './elevation-of';
import { bodyOf, withHeight } from './elevation-model';
import type { Elevation, HeightOf } from './elevation-model';
import { entityName } from './edit-entity';
import { LengthField } from './fields';
import { useSaidMargin } from './pair-room';
import { uiStore, useUi } from './ui-store';
import { useApp } from './use-app';

const MARGIN = { left: 92, right: 92, top: 28, bottom: 24 };
/** One press of an arrow key: an inch, or a centimetre in a metric project. */
const stepOf = (system: UnitSystem): number => (system === 'US' ? 1 / 12 : 0.01 / 0.3048);

interface Frame { readonly scale: number; readonly left: number; readonly floor: number; readonly width: number }

/** Same scale both ways, so that slopes are true. Low rooms and short lines are enlarged until one side is full. */
function frameOf(elevation: Elevation, width: number, height: number): Frame {
  const heights = [elevation.handle, elevation.eye ?? 0, elevation.body ?? 0, ...elevation.pieces.map((p) => Math.min(p.top, 24))];
  const tallest = Math.max(8, ...heights);
  const lowest = Math.min(0, ...elevation.pieces.map((p) => p.bottom));
  const scale = Math.max(1, Math.min((width - MARGIN.left - MARGIN.right) / Math.max(elevation.length, 1), (height - MARGIN.top - MARGIN.bottom) / (tallest - lowest)));
  return { scale, left: Math.max(MARGIN.left, (width - elevation.length * scale) / 2), floor: height - MARGIN.bottom + lowest * scale, width };
}

/** A height that can be dragged or stepped with the arrow keys; one edit when it is let go. */
function HeightHandle({ x, y, height, of, label, elevation, frame, system }: { x: number; y: number; height: Feet; of: HeightOf; label: string; elevation: Elevation; frame: Frame; system: UnitSystem }) {
  const start = useRef<{ readonly y: number; readonly height: number; readonly document: Document } | null>(null);
  const set = (next: Feet): void => {
    const base = start.current?.document ?? store.getState().document;
    const changed = withHeight(base, elevation.pair, of, next);
    store.getState().setPreview(changed === base ? null : changed);
  };
  const finish = (keep: boolean): void => {
    const { preview, document, setPreview } = store.getState();
    start.current = null;
    setPreview(null);
    if (keep && preview) commitHeights(document, preview, label);
  };
  const onPointerDown = (event: PointerEvent<SVGGElement>): void => {
    if (event.button !== 0) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    start.current = { y: event.clientY, height, document: store.getState().document };
  };
  const onPointerMove = (event: PointerEvent<SVGGElement>): void => {
    const from = start.current;
    if (!from) return;
    const step = stepOf(system);
    set(feet(Math.round((from.height + (from.y - event.clientY) / frame.scale) / step) * step));
  };
  const onKeyDown = (event: KeyboardEvent<SVGGElement>): void => {
    if (event.key === 'Escape' && start.current) { event.stopPropagation(); finish(false); return; }
    const by = { ArrowUp: 1, ArrowDown: -1, PageUp: 12, PageDown: -12 }[event.key];
    if (by === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    const { document } = store.getState();
    const step = stepOf(system);
    commitHeights(document, withHeight(document, elevation.pair, of, feet((Math.round(height / step) + by) * step)), label);
  };
  return (
    <g className="height-handle" role="slider" tabIndex={0} aria-label={label} aria-orientation="vertical" aria-valuenow={Math.round(height * 100) / 100} aria-valuetext={showLength(height, system)}
      onPointerDown={onPointerDown} onPointerMove={onPointerMove} onPointerUp={() => { finish(true); }} onPointerCancel={() => { finish(false); }} onKeyDown={onKeyDown}>
      <rect className="grip-area" x={x - 11} y={y - 9} width="22" height="18" />
      <path className="grip" d={`M${x - 7} ${y}h14M${x - 3} ${y - 4}l3-3 3 3M${x - 3} ${y + 4}l3 3 3-3`} />
    </g>
  );
}

/** Commits what differs between two documents' entities as one edit. */
function commitHeights(before: Document, after: Document, label: string): void {
  const changed = changedIds(before, after).map((id) => after.entities[id]).filter((e): e is Entity => e !== undefined);
  if (changed.length > 0) store.getState().commit(putEntities(before, words.edits.height(label), changed));
}

function Drawing({ elevation, document, system, width, height }: { elevation: Elevation; document: Document; system: UnitSystem; width: number; height: number }) {
  const frame = frameOf(elevation, width, height);
  const px = (along: number): number => frame.left + along * frame.scale;
  const py = (z: number): number => frame.floor - z * frame.scale;
  const { pair } = elevation;
  const said = useSaidMargin(pair);
  const room = said && said.mayMove !== null ? said.margin.margin : null;
  const name = (id: string): string => { const e = document.entities[id]; return e ? entityName(e) : ''; };
  const met = new Set([...(pair.eyeLine?.meets ?? []), ...(pair.bodyLine?.meets ?? [])].map((m) => m.entity));
  const lines = [{ line: pair.eyeLine, z: elevation.eye }, { line: pair.bodyLine, z: elevation.body }];
  const whole = pair.eyeLine ? Math.hypot(pair.eyeLine.target.x - pair.eyeLine.handle.x, pair.eyeLine.target.y - pair.eyeLine.handle.y) : 0;
  const ticks = Array.from({ length: Math.floor(elevation.length / tickStep(elevation.length, system)) + 1 }, (_, i) => i * tickStep(elevation.length, system));
  const body = bodyOf(document, pair);
  const bodyEntity = document.entities[body];
  const bodyEnd = Math.max(elevation.length, ...elevation.pieces.filter((p) => p.entity === body).map((p) => p.to));
  // A line passes above what it does not meet, so its name goes inside; what is met is named above its top.
  const labelOf = (piece: Elevation['pieces'][number]): number => {
    const top = py(Math.min(piece.top, 24));
    return !met.has(piece.entity) && py(piece.bottom) - top >= 26 && px(piece.to) - px(piece.from) >= 60 ? top + 21 : Math.max(11, top - 11);
  };
  return (
    <svg className="elevation-drawing" width={width} height={height} role="group" aria-label={words.elevation.drawing(name(pair.disconnect), name(body))}>
      <line className="floor" x1={px(0) - 24} x2={px(elevation.length) + 24} y1={py(0)} y2={py(0)} />
      {ticks.map((t, i) => <g key={t}><line className="floor-tick" x1={px(t)} x2={px(t)} y1={py(0)} y2={py(0) + 4} /><text className="scale-text" x={px(t)} y={py(0) + 15} textAnchor="middle">{system === 'US' ? String(t) : String(Math.round(t * 0.3048))}{i > 0 && i === ticks.length - 1 ? ` ${words.elevation.unit[system]}` : ''}</text></g>)}
      {elevation.pieces.map((piece, i) => (
        <rect key={i} className={`piece is-${piece.transmission}${met.has(piece.entity) ? ' is-met' : ''}`} x={px(piece.from)} width={Math.max(1.5, px(piece.to) - px(piece.from))} y={py(Math.min(piece.top, 24))} height={Math.max(1.5, py(piece.bottom) - py(Math.min(piece.top, 24)))} />
      ))}
      {lines.map(({ line, z }, i) => {
        if (!line || z === null) return null;
        const block = line.state === 'blocked' ? line.meets.find((m) => m.transmission === 'opaque') ?? line.meets[0] : undefined;
        const share = block && whole > 0 ? Math.hypot(block.at.x - line.handle.x, block.at.y - line.handle.y) / whole : 1;
        const end = { x: px(elevation.length * share), y: py(elevation.handle + (z - elevation.handle) * share) };
        return (
          <g key={i} className={`sight-line is-${line.state}`}>
            <line x1={px(0)} y1={py(elevation.handle)} x2={end.x} y2={end.y} />
            {block && <><line className="stop" x1={end.x} x2={end.x} y1={end.y - 6} y2={end.y + 6} /><line className="beyond" x1={end.x} y1={end.y} x2={px(elevation.length)} y2={py(z)} /></>}
          </g>
        );
      })}
      <rect className="device" x={px(0) - 11} y={py(elevation.handle) - 10} width="9" height="20" />
      <text className="end-text" x={px(0) - 28} y={py(elevation.handle) + 4} textAnchor="end">{showLength(elevation.handle, system)}</text>
      {said && said.mayMove !== null && room !== null && (
        <g className="room">
          <path d={`M${Math.max(2, px(0 - room))} ${py(0) - 6}v5H${Math.min(width - 2, px(room))}v-5`} />
          <text className="room-text" x={Math.max(4, px(0) - 28)} y={py(elevation.handle) + 19} textAnchor="end">{words.elevation.mayMove(said.mayMove)}</text>
        </g>
      )}
      {elevation.eye !== null && <g className="person"><circle cx={px(elevation.length)} cy={py(elevation.eye)} r="4" /><path d={`M${px(elevation.length)} ${py(elevation.eye) + 4}V${py(elevation.eye * 0.45)}M${px(elevation.length)} ${py(elevation.eye * 0.45)}L${px(elevation.length) - 5} ${py(0)}M${px(elevation.length)} ${py(elevation.eye * 0.45)}L${px(elevation.length) + 5} ${py(0)}`} /><text className="end-text" x={px(elevation.length) + 10} y={py(elevation.eye) + 1}>{words.elevation.eye(showLength(elevation.eye, system))}</text></g>}
      {elevation.body !== null && <g className="body"><circle cx={px(elevation.length)} cy={py(elevation.body)} r="5" /><text className="end-text" x={Math.max(px(elevation.length) + 22, px(bodyEnd) + 5)} y={py(elevation.body) + 6}>{name(body)} {showLength(elevation.body, system)}</text>{said?.inView != null && <text className="room-text" x={Math.max(px(elevation.length) + 22, px(bodyEnd) + 5)} y={py(elevation.body) + 20}>{said.inView}</text>}</g>}
      <HeightHandle x={px(0) - 19} y={py(elevation.handle)} height={elevation.handle} of={{ kind: 'handle' }} label={words.elevation.handleOf(name(pair.disconnect))} elevation={elevation} frame={frame} system={system} />
      {bodyEntity && elevation.body !== null && <HeightHandle x={px(elevation.length) + 13} y={py(elevation.body)} height={elevation.body} of={{ kind: 'body' }} label={words.elevation.heightOf(name(body))} elevation={elevation} frame={frame} system={system} />}
      {draggable(elevation, document).map((piece) => (
        <g key={piece.entity}>
          <text className={met.has(piece.entity) ? 'piece-text is-met' : 'piece-text'} x={px((piece.from + piece.to) / 2)} y={labelOf(piece)} textAnchor="middle">{name(piece.entity)} {showLength(piece.top, system)}</text>
          <HeightHandle x={px((piece.from + piece.to) / 2)} y={py(Math.min(piece.top, 24))} height={piece.top} of={{ kind: 'top', entity: piece.entity }} label={words.elevation.topOf(name(piece.entity))} elevation={elevation} frame={frame} system={system} />
        </g>
      ))}
    </svg>
  );
}

const tickStep = (length: number, system: UnitSystem): number => (system === 'US' ? (length > 60 ? 20 : length > 12 ? 10 : 5) : (length > 60 ? 5 : length > 12 ? 2 : 1) / 0.3048);

/** One height a body: its highest piece. The target's own body does not stand in its line. */
function draggable(elevation: Elevation, document: Document) {
  const own = [elevation.pair.disconnect, bodyOf(document, elevation.pair)];
  const tallest = new Map<string, Elevation['pieces'][number]>();
  for (const piece of elevation.pieces.filter((one) => !own.includes(one.entity))) {
    const known = tallest.get(piece.entity);
    if (!known || piece.top > known.top) tallest.set(piece.entity, piece);
  }
  return [...tallest.values()];
}

function TypedHeights({ elevation, document, system }: { elevation: Elevation; document: Document; system: UnitSystem }) {
  const name = (id: string): string => { const e = document.entities[id]; return e ? entityName(e) : ''; };
  const set = (of: HeightOf, label: string) => (height: Feet): void => { commitHeights(document, withHeight(document, elevation.pair, of, height), label); };
  const body = bodyOf(document, elevation.pair);
  return (
    <div className="typed-heights">
      <LengthField label={words.elevation.handleOf(name(elevation.pair.disconnect))} value={elevation.handle} system={system} onCommit={set({ kind: 'handle' }, words.elevation.handleOf(name(elevation.pair.disconnect)))} />
      {elevation.body !== null && <LengthField label={words.elevation.heightOf(name(body))} value={elevation.body} system={system} onCommit={set({ kind: 'body' }, words.elevation.heightOf(name(body)))} />}
      {draggable(elevation, document).map((piece) => <LengthField key={piece.entity} label={words.elevation.topOf(name(piece.entity))} value={piece.top} system={system} negative onCommit={set({ kind: 'top', entity: piece.entity }, words.elevation.topOf(name(piece.entity)))} />)}
    </div>
  );
}

/** The pair and its drawing for exactly this document; null while its sheet is being prepared. */
function drawnPair(document: Document, wanted: Pick<PairReport, 'disconnect' | 'load' | 'target'>): { readonly pair: PairReport | null; readonly elevation: Elevation | null } | null {
  const device = document.entities[wanted.disconnect];
  if (!device) return { pair: null, elevation: null };
  return liveCheck.ask(document, device.sheet, (checker) => {
    const pair = pairOf(checker, wanted);
    return { pair, elevation: pair && elevationOf(checker, pair) };
  });
}

/** The chosen sight line from the side, to scale: why a low tank blocks and a low bench does not. */
export function ElevationStrip() {
  const open = useUi((s) => s.elevationOpen);
  const state = useApp((s) => s.pair);
  const document = useApp((s) => s.preview ?? s.document);
  const system = useApp((s) => s.document.facts.units);
  const [size, setSize] = useState({ width: 0, height: 0 });
  const box = useRef<HTMLDivElement>(null);
  const ready = useSyncExternalStore(liveCheck.whenReady, liveCheck.timesReady);
  // While the sheet is being prepared there is neither verdict nor drawing: an earlier one might be wrong.
  // eslint-disable-next-line react-hooks/exhaustive-deps -- asked again once a sheet is ready
  const shown = useMemo(() => (state ? drawnPair(document, state) : null), [document, state, ready]);
  const { pair, elevation } = shown ?? { pair: null, elevation: null };
  const isDrawn = open && elevation !== null;
  useLayoutEffect(() => {
    const element = box.current;
    if (!element) return undefined;
    const watch = new ResizeObserver(() => { setSize({ width: element.clientWidth, height: element.clientHeight }); });
    watch.observe(element);
    setSize({ width: element.clientWidth, height: element.clientHeight });
    return () => { watch.disconnect(); };
  }, [isDrawn]);
  if (!state) return null;
  const name = (id: string): string => { const e = document.entities[id]; return e ? entityName(e) : ''; };
  return (
    <section className="elevation" aria-label={words.elevation.title}>
      <header className="elevation-head">
        <h2>{words.elevation.from(name(state.disconnect), name(state.load))}</h2>
        {pair && <span className="step-note">{pair.result.title}</span>}
        <button type="button" className="quiet" aria-expanded={open} onClick={() => { uiStore.getState().setElevationOpen(!open); }}>{open ? words.elevation.hide : words.elevation.show}</button>
        <button type="button" className="quiet" onClick={() => { store.getState().setPair(null); }}>{words.why.close}</button>
      </header>
      {open && (elevation === null ? <p className="empty">{shown ? words.elevation.none : words.elevation.waiting}</p> : (
        <div className="elevation-body">
          <div ref={box} className="elevation-box">{size.width > 0 && <Drawing elevation={elevation} document={document} system={system} width={size.width} height={size.height} />}</div>
          <TypedHeights elevation={elevation} document={document} system={system} />
        </div>
      ))}
    </section>
  );
}
