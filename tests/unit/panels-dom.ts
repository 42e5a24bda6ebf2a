import { act } from 'react';
import type { ReactNode } from 'react';
import { createRoot } from 'react-dom/client';
import type { Root } from 'react-dom/client';

// React's own flag for test environments: effects run inside act.
(globalThis as { IS_REACT_ACT_ENVIRONMENT?: boolean }).IS_REACT_ACT_ENVIRONMENT = true;
// jsdom has neither; both only concern scrolling and size.
if (!('scrollIntoView' in Element.prototype)) Object.assign(Element.prototype, { scrollIntoView: () => undefined });
globalThis.ResizeObserver ??= class { observe() { /* no layout here */ } unobserve() { /* no layout here */ } disconnect() { /* no layout here */ } };

let root: Root | null = null;
let place: HTMLElement | null = null;

export async function show(node: ReactNode): Promise<HTMLElement> {
  place = document.createElement('div');
  document.body.append(place);
  const made = createRoot(place);
  root = made;
  await act(async () => { made.render(node); });
  return place;
}

export async function clear(): Promise<void> {
  await act(async () => { root?.unmount(); });
  place?.remove();
  root = null;
}

export const by = <E extends Element = HTMLElement>(selector: string): E => {
  const found = document.querySelector<E>(selector);
  if (!found) throw new RangeError(`nothing matches ${selector}`);
  return found;
};

/** The input, button or other part whose label, aria-label or text is exactly this. */
export function named<E extends HTMLElement = HTMLElement>(selector: string, name: string): E {
  const found = [...document.querySelectorAll<E>(selector)].find((e) => {
    const label = e instanceof HTMLInputElement ? e.labels?.[0] : undefined;
    return e.getAttribute('aria-label') === name || label?.textContent === name || e.textContent === name;
  });
  if (!found) throw new RangeError(`no ${selector} is named '${name}'`);
  return found;
}

export async function click(element: Element): Promise<void> {
  await act(async () => { (element as HTMLElement).click(); });
}

/** Replaces the text of an input as typing does. */
export async function type(input: HTMLInputElement, text: string): Promise<void> {
  await act(async () => {
    input.focus();
    // React listens to the native setter, so the value goes in below its own.
    Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')?.set?.call(input, text);
    input.dispatchEvent(new Event('input', { bubbles: true }));
  });
}

export async function press(element: Element, key: string): Promise<void> {
  await act(async () => { element.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true })); });
}

export async function leave(input: HTMLElement): Promise<void> { await act(async () => { input.blur(); }); }

/** Chooses one of the words of a choice by keys, as a person without a mouse does. */
export async function choose(label: string, word: string): Promise<void> {
  const field = [...document.querySelectorAll('.field')].find((f) => f.querySelector('.field-label')?.textContent === label);
  const trigger = field?.querySelector('.choice');
  if (!trigger) throw new RangeError(`no choice '${label}'`);
  await press(trigger, 'ArrowDown');
  await click([...document.querySelectorAll('[role="option"]')].find((o) => o.textContent === word)!);
}
