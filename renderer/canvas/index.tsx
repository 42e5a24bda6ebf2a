import Konva from 'konva';
import { useEffect, useMemo, useRef, useState } from 'react';
import type { RefObject } from 'react';
import { Layer, Shape, Stage } from 'react-konva';
import { useStore } from 'zustand';
import { store } from '../state/store';
import { TOOL_NAMES } from '../tools/keys';
import { announcement } from './announce';
import { CanvasController } from './controller';
import { ExactEntry } from './exact-entry';
import { bindInput } from './input';
import { forgetSprites } from './paint-marks';
import { useComparison, usePlan } from './use-plan';
import { toScreen } from './view';
import type { LayerName } from './scheduler';
import './canvas.css';

export { liveCheck } from './live-check';

// One scheduler redraws what changed; Konva must not redraw on its own.
Konva.autoDrawEnabled = false;

const LAYERS: readonly LayerName[] = ['ground', 'marks', 'hand'];
const HELP = 'Tab walks through the marks, arrow keys move the chosen one, Enter opens its fields. Letters choose tools; digits begin an exact length or place.';

interface Size { readonly width: number; readonly height: number; readonly ratio: number }

/** Watches the size of the canvas' frame and the pixel ratio of the screen it is on. */
function useSize(frame: RefObject<HTMLDivElement | null>): Size {
  const [size, setSize] = useState<Size>({ width: 0, height: 0, ratio: window.devicePixelRatio });
  useEffect(() => {
    const element = frame.current;
    if (!element) return undefined;
    const measure = (): void => { setSize({ width: element.clientWidth, height: element.clientHeight, ratio: window.devicePixelRatio }); };
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    window.addEventListener('resize', measure);
    measure();
    return () => { observer.disconnect(); window.removeEventListener('resize', measure); };
  }, [frame]);
  return size;
}

/**
 * The sheet with everything on it: plan, building, marks, findings and the hand. Needs no props; it shows and edits what
 * the store holds. One tab stop, labelled, with a live region that says the verdict of the chosen or dragged mark.
 */
export function PlanCanvas() {
  const frame = useRef<HTMLDivElement>(null);
  const layers = useRef(new Map<LayerName, Konva.Layer>());
  const size = useSize(frame);
  const [entry, setEntry] = useState<{ readonly first: string; readonly x: number; readonly y: number } | null>(null);
  const [controller] = useState(() => new CanvasController(store));
  const tool = useStore(store, (s) => s.tool);
  const name = useStore(store, (s) => s.document.sheets.find((sheet) => sheet.id === s.sheet)?.name ?? '');
  const planState = usePlan(controller);
  useComparison(controller);

  useEffect(() => {
    void document.fonts.ready.then(() => { controller.fontsLoaded(); });
    return controller.start((layer) => { layers.current.get(layer)?.drawScene(); });
  }, [controller]);
  useEffect(() => {
    for (const layer of layers.current.values()) layer.getCanvas().setPixelRatio(size.ratio);
    forgetSprites();
    controller.setSize(size.width, size.height, size.ratio);
  }, [controller, size]);
  useEffect(() => {
    const element = frame.current;
    if (!element) return undefined;
    return bindInput(element, controller, (first) => {
      const { cursor } = controller.runner.view();
      const at = cursor ? toScreen(controller.currentView(), cursor) : controller.lastPointer();
      setEntry({ first, x: Math.max(8, Math.min(at.x + 16, element.clientWidth - 260)), y: Math.max(8, Math.min(at.y + 16, element.clientHeight - 110)) });
    });
  }, [controller]);

  const close = (): void => { setEntry(null); frame.current?.focus({ preventScroll: true }); };
  return (
    <>
      <div ref={frame} className="plan-canvas" data-tool={tool} tabIndex={0} role="application" aria-roledescription="plan" aria-label={`${name}, ${TOOL_NAMES[tool]}`} aria-describedby="plan-help">
        <Stage width={Math.max(1, size.width)} height={Math.max(1, size.height)} listening={false} aria-hidden="true">
          {LAYERS.map((layer) => (
            <Layer key={layer} listening={false} ref={(node) => { if (node) layers.current.set(layer, node); else layers.current.delete(layer); }}>
              <Shape listening={false} perfectDrawEnabled={false} sceneFunc={(context) => { controller.paint(layer, context._context); }} />
            </Layer>
          ))}
        </Stage>
      </div>
      <p id="plan-help" className="canvas-said">{HELP}</p>
      <Said />
      {planState && <p className="plan-state"><span role={planState.isProblem ? 'alert' : 'status'}>{planState.text}</span> <button type="button" className="quiet" onClick={planState.act.run}>{planState.act.label}</button></p>}
      <div className="plan-zoom" role="group" aria-label="Zoom">
        <button type="button" aria-label="Farther" title="Farther (-)" onClick={() => { controller.zoomBy(0.8); }}>−</button>
        <button type="button" title="Whole sheet (0)" onClick={() => { controller.fit(); }}>whole sheet</button>
        <button type="button" aria-label="Nearer" title="Nearer (+)" onClick={() => { controller.zoomBy(1.25); }}>+</button>
      </div>
      {entry && <ExactEntry {...entry} submit={(text, modifiers) => controller.typed(text, modifiers)} close={close} />}
    </>
  );
}

/** Said once the hand rests for a moment, so that a drag does not flood a screen reader. */
function Said() {
  const state = useStore(store);
  const now = useMemo(() => announcement(state), [state]);
  const [said, setSaid] = useState('');
  useEffect(() => { const timer = setTimeout(() => { setSaid(now); }, 250); return () => { clearTimeout(timer); }; }, [now]);
  return <p className="canvas-said" role="status" aria-live="polite" data-testid="plan-said">{said}</p>;
}
