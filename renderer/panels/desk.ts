/** What a panel asks of the window around it: clipboard, printer. */

/** @returns whether the text is on the clipboard. The window may refuse the clipboard call, so the older way stands behind it. */
export async function copyText(text: string): Promise<boolean> {
  try { await navigator.clipboard.writeText(text); return true; } catch { /* refused: try the selection */ }
  const area = document.createElement('textarea');
  area.value = text;
  area.className = 'off-screen';
  document.body.append(area);
  area.select();
  try {
    // Deprecated but still the only way without a permission; the shell grants none.
    return document.execCommand('copy');
  } catch { return false; } finally { area.remove(); }
}

/** Prints one element alone: the print stylesheet hides everything that does not carry the mark. */
export function printNode(node: Element | null): void {
  if (!node) return;
  const copy = node.cloneNode(true) as Element;
  // On paper nothing can be opened.
  for (const folded of copy.querySelectorAll('details')) folded.open = true;
  const frame = document.createElement('div');
  frame.className = 'print-frame';
  frame.append(copy);
  document.body.append(frame);
  document.body.dataset['printing'] = '';
  window.print();
  delete document.body.dataset['printing'];
  frame.remove();
}
