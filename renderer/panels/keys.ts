import { store } from '../state/store';
import type { StepId } from '../state/store';
import { chooseStep } from './job-rail';
import { exportAs, openProject, saveProject } from './project-actions';
import { toolOfKey } from '../tools/keys';
import { uiStore } from './ui-store';

const STEPS: readonly StepId[] = ['plan', 'scale', 'space', 'loads', 'disconnects', 'findings', 'hand-over'];

const isTyping = (target: EventTarget | null): boolean => target instanceof HTMLElement && (target.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName));

/** The parts of the window that F6 walks through, in reading order. */
const PARTS: readonly string[] = ['.rail [aria-current="step"]', '.tool-bar button:not(:disabled)', '.sheet [tabindex="0"]', '#plan-search', '.side-upper [role="listbox"], .side-upper button', '#chosen', '.foot button'];

function nextPart(back: boolean): void {
  const found = PARTS.map((selector) => document.querySelector<HTMLElement>(selector)).filter((e): e is HTMLElement => e !== null);
  const at = found.findIndex((e) => e === document.activeElement || (e.closest('.rail, .tool-bar, .sheet, .search, .side-upper, .side-lower, .foot')?.contains(document.activeElement) ?? false));
  found[(at + (back ? -1 : 1) + found.length) % found.length]?.focus();
}

function onControl(event: KeyboardEvent): boolean {
  const key = event.key.toLowerCase();
  const { undo, redo } = store.getState();
  if (key === 'z' && !isTyping(event.target)) { if (event.shiftKey) redo(); else undo(); }
  else if (key === 'y' && !isTyping(event.target)) redo();
  else if (key === 's') void saveProject(event.shiftKey);
  else if (key === 'o') void openProject();
  else if (key === 'e') void exportAs('pdf');
  else return false;
  return true;
}

function onPlain(event: KeyboardEvent): boolean {
  if (event.key === 'F6') { nextPart(event.shiftKey); return true; }
  // Where Alt and a digit write a sign of their own, a field keeps it.
  if (event.altKey && (!isTyping(event.target) || /^\d$/.test(event.key))) {
    const step = STEPS[Number(event.code.replace('Digit', '')) - 1];
    if (!step || !event.code.startsWith('Digit')) return false;
    // What was typed so far is committed, as on leaving the field by any other way.
    if (isTyping(event.target)) (event.target as HTMLElement).blur();
    chooseStep(step);
    return true;
  }
  if (isTyping(event.target)) return false;
  if (event.key === '?') { uiStore.getState().openDialog('help'); return true; }
  if (event.key === '/') { uiStore.getState().setSearch(uiStore.getState().search ?? ''); document.querySelector<HTMLElement>('#plan-search')?.focus(); return true; }
  if (event.shiftKey || event.key.length !== 1) return false;
  const tool = toolOfKey(event.key);
  if (!tool || store.getState().sheet === null) return false;
  store.getState().setTool(tool);
  return true;
}

/** The window's keys. A part that used a key itself (a list, the canvas, a field) has the first word. @returns how to stop */
export function listenForKeys(): () => void {
  const onKey = (event: KeyboardEvent): void => {
    if (event.defaultPrevented || document.querySelector('[role="dialog"][data-modal]')) return;
    const used = event.ctrlKey || event.metaKey ? onControl(event) : onPlain(event);
    if (used) event.preventDefault();
  };
  window.addEventListener('keydown', onKey);
  return () => { window.removeEventListener('keydown', onKey); };
}
