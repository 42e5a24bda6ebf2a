import type { Modifiers } from '../tools/tool';
import type { CanvasController } from './controller';

const modifiersOf = (e: MouseEvent | KeyboardEvent): Modifiers => ({ shift: e.shiftKey, alt: e.altKey, control: e.ctrlKey || e.metaKey });

/** Two presses this near in time and place are a double click; counted here because a pointer event does not say. */
const DOUBLE_TIME = 400;
const DOUBLE_REACH = 6;
/** One notch of a wheel. */
const WHEEL_STEP = 0.0016;

/**
 * Binds a page element to the controller. During a drag moves are heard on the window, so leaving the canvas loses
 * nothing; loss of focus drops what is under way.
 * @param beginTyping  opens the exact entry with its first character
 * @returns how to unbind
 */
export function bindInput(element: HTMLElement, controller: CanvasController, beginTyping: (first: string) => void): () => void {
  let dragging: 'tool' | 'pan' | null = null;
  let last = { x: 0, y: 0, time: -Infinity, clicks: 0 };
  let panAt = { x: 0, y: 0 };
  let isSpaceDown = false;
  const place = (e: PointerEvent | WheelEvent): { x: number; y: number } => { const box = element.getBoundingClientRect(); return { x: e.clientX - box.left, y: e.clientY - box.top }; };

  const onDown = (e: PointerEvent): void => {
    if (dragging) return;
    const { x, y } = place(e);
    element.focus({ preventScroll: true });
    if (e.button === 1 || (e.button === 0 && isSpaceDown)) { dragging = 'pan'; panAt = { x, y }; element.classList.add('is-panning'); e.preventDefault(); return; }
    if (e.button !== 0) return;
    const isAgain = e.timeStamp - last.time < DOUBLE_TIME && Math.hypot(x - last.x, y - last.y) < DOUBLE_REACH;
    last = { x, y, time: e.timeStamp, clicks: isAgain ? last.clicks + 1 : 1 };
    dragging = 'tool';
    controller.pointer({ type: 'press', x, y, modifiers: modifiersOf(e), clicks: last.clicks });
  };
  const onMove = (e: PointerEvent): void => {
    const { x, y } = place(e);
    if (dragging === 'pan') { controller.panBy(x - panAt.x, y - panAt.y); panAt = { x, y }; return; }
    // Outside the canvas only a drag concerns it.
    if (dragging === null && e.target instanceof Node && !element.contains(e.target)) return;
    controller.pointer({ type: 'move', x, y, modifiers: modifiersOf(e), clicks: 0 });
  };
  const onUp = (e: PointerEvent): void => {
    if (dragging === 'pan' && (e.button === 1 || e.button === 0)) { dragging = null; element.classList.remove('is-panning'); return; }
    if (dragging !== 'tool' || e.button !== 0) return;
    dragging = null;
    controller.pointer({ type: 'release', ...place(e), modifiers: modifiersOf(e), clicks: last.clicks });
  };
  const drop = (): void => { dragging = null; isSpaceDown = false; element.classList.remove('is-panning'); controller.settle(); controller.runner.cancel(); };
  const onWheel = (e: WheelEvent): void => {
    e.preventDefault();
    const { x, y } = place(e);
    const unit = e.deltaMode === 1 ? 33 : e.deltaMode === 2 ? 400 : 1;
    if (e.shiftKey) { controller.panBy(-(e.deltaY + e.deltaX) * unit, 0); return; }
    if (e.deltaX !== 0 && !e.ctrlKey && Math.abs(e.deltaX) > Math.abs(e.deltaY)) { controller.panBy(-e.deltaX * unit, 0); return; }
    controller.zoomBy(Math.exp(-e.deltaY * unit * WHEEL_STEP * (e.ctrlKey ? 4 : 1)), x, y);
  };
  const onKeyDown = (e: KeyboardEvent): void => {
    if (e.target !== element) return;
    if (e.key === ' ') { isSpaceDown = true; e.preventDefault(); return; }
    if (e.key === 'Tab') { if (!e.ctrlKey && !e.altKey && controller.nextMark(e.shiftKey) !== null) e.preventDefault(); return; }
    const modifiers = modifiersOf(e);
    if (!modifiers.control && !modifiers.alt && controller.runner.startsTyping(e.key)) { e.preventDefault(); controller.settle(); beginTyping(e.key); return; }
    if (controller.key(e.key, modifiers)) e.preventDefault();
  };
  const onKeyUp = (e: KeyboardEvent): void => { if (e.key === ' ') isSpaceDown = false; };
  const onWindowBlur = (): void => { if (dragging) drop(); };
  const onFocus = (): void => { controller.setFocus(true); };
  const onBlur = (): void => { isSpaceDown = false; controller.setFocus(false); };
  const onMenu = (e: Event): void => { e.preventDefault(); };
  const onLeave = (): void => { if (dragging === null) controller.pointerLeft(); };

  element.addEventListener('pointerdown', onDown);
  window.addEventListener('pointermove', onMove);
  window.addEventListener('pointerup', onUp);
  window.addEventListener('pointercancel', drop);
  window.addEventListener('blur', onWindowBlur);
  element.addEventListener('pointerleave', onLeave);
  element.addEventListener('wheel', onWheel, { passive: false });
  element.addEventListener('keydown', onKeyDown);
  element.addEventListener('keyup', onKeyUp);
  element.addEventListener('focus', onFocus);
  element.addEventListener('blur', onBlur);
  element.addEventListener('contextmenu', onMenu);
  return () => {
    element.removeEventListener('pointerdown', onDown);
    window.removeEventListener('pointermove', onMove);
    window.removeEventListener('pointerup', onUp);
    window.removeEventListener('pointercancel', drop);
    window.removeEventListener('blur', onWindowBlur);
    element.removeEventListener('pointerleave', onLeave);
    element.removeEventListener('wheel', onWheel);
    element.removeEventListener('keydown', onKeyDown);
    element.removeEventListener('keyup', onKeyUp);
    element.removeEventListener('focus', onFocus);
    element.removeEventListener('blur', onBlur);
    element.removeEventListener('contextmenu', onMenu);
  };
}

