import { line, move, path, placeSymbol, rectangle, words } from './ink';
import type { Ink, Primitive } from './ink';
import type { Verdict } from '../code-data/index';
import type { Measure } from './sheet-drawing';
import { statusMark } from './symbols';

/** A page of marks, points, y down. */
export interface ReportPage { readonly width: number; readonly height: number; readonly marks: readonly Primitive[]; readonly section: string }

/** Breaks text into lines that fit; a word longer than the line is broken by letters, so that nothing is ever cut off. */
export function wrap(text: string, width: number, size: number, bold: boolean, measure: Measure): string[] {
  const lines: string[] = [];
  for (const paragraph of text.split('\n')) {
    let current = '';
    for (const word of paragraph.split(/\s+/).filter((w) => w !== '')) {
      const joined = current === '' ? word : `${current} ${word}`;
      if (measure(joined, size, bold) <= width) { current = joined; continue; }
      if (current !== '') lines.push(current);
      current = word;
      while (measure(current, size, bold) > width && current.length > 1) {
        let fits = current.length - 1;
        while (fits > 1 && measure(current.slice(0, fits), size, bold) > width) fits -= 1;
        lines.push(current.slice(0, fits)); current = current.slice(fits);
      }
    }
    lines.push(current);
  }
  return lines;
}

export interface Cell { readonly text: string; readonly bold?: boolean; readonly status?: Verdict; readonly ink?: Ink }
export interface Column { readonly head: string; readonly width: number; readonly align?: 'left' | 'right' }
export interface PageSize { readonly width: number; readonly height: number; readonly margin: number; readonly head: number; readonly foot: number }

export const LETTER: PageSize = { width: 792, height: 612, margin: 40, head: 62, foot: 46 };
export const A4: PageSize = { width: 841.89, height: 595.28, margin: 40, head: 62, foot: 46 };

const LINE = 1.28;

/** Lays text, tables and marks down a page after page; whatever does not fit goes on to the next page, never over the edge. */
export class Flow {
  readonly pages: ReportPage[] = [];
  private marks: Primitive[] = [];
  private y = 0;
  constructor(readonly size: PageSize, readonly section: string, readonly measure: Measure) { this.y = size.head; }

  get width(): number { return this.size.width - 2 * this.size.margin; }
  get left(): number { return this.size.margin; }
  get top(): number { return this.y; }
  private get bottom(): number { return this.size.height - this.size.foot; }

  /** Starts a new page unless this much still fits. */
  need(height: number): void { if (this.y + height > this.bottom && this.y > this.size.head) this.newPage(); }
  newPage(): void {
    this.pages.push({ width: this.size.width, height: this.size.height, marks: this.marks, section: this.section });
    this.marks = []; this.y = this.size.head;
  }
  finish(): readonly ReportPage[] { if (this.marks.length > 0) this.newPage(); return this.pages; }

  space(height: number): void { this.y += height; }
  put(...marks: readonly Primitive[]): void { this.marks.push(...marks); }

  text(text: string, options: { size?: number; bold?: boolean; ink?: Ink; indent?: number; width?: number; status?: Verdict } = {}): void {
    const { size = 9, bold = false, ink = 'ink', indent = 0 } = options;
    const lead = options.status ? size * 1.4 : 0;
    const lines = wrap(text, (options.width ?? this.width) - indent - lead, size, bold, this.measure);
    lines.forEach((l, i) => {
      this.need(size * LINE);
      if (i === 0 && options.status) this.put(...placeSymbol(statusMark(options.status), { x: this.left + indent + size * 0.5, y: this.y + (size * LINE) / 2, size: size * 0.95 }));
      this.put(words(this.left + indent + lead, this.y + (size * LINE) / 2, l, size, { align: 'left', weight: bold ? 'bold' : 'regular', ink }));
      this.y += size * LINE;
    });
  }

  heading(text: string, size = 13): void {
    // A heading never stands alone at the foot of a page.
    this.need(size * LINE + 40);
    this.text(text, { size, bold: true });
    this.space(3);
  }

  rule(ink: Ink = 'muted', width = 0.5): void { this.put(path([move(this.left, this.y), line(this.left + this.width, this.y)], { stroke: ink, width })); }

  /** A table whose head is repeated on every page; a row is kept together unless it is taller than a page. */
  table(columns: readonly Column[], rows: readonly (readonly Cell[])[], size = 7, pad = 3): void {
    const total = columns.reduce((sum, c) => sum + c.width, 0); const scale = this.width / total;
    const widths = columns.map((c) => c.width * scale);
    const head = (): void => {
      const heads = columns.map((c, i) => wrap(c.head, (widths[i] ?? 0) - 2 * pad, size * 0.92, true, this.measure));
      const height = Math.max(...heads.map((h) => h.length)) * size * 0.92 * LINE + 2 * pad;
      this.put(path([move(this.left, this.y), line(this.left + this.width, this.y)], { width: 0.9 }));
      this.cells(heads.map((lines) => ({ lines, bold: true })), widths, columns, size * 0.92, pad);
      this.y += height;
      this.put(path([move(this.left, this.y), line(this.left + this.width, this.y)], { width: 0.9 }));
    };
    this.need(size * LINE * 5);
    head();
    for (const row of rows) {
      let cells = row.map((cell, i) => ({ ...cell, lines: wrap(cell.text, (widths[i] ?? 0) - 2 * pad - (cell.status ? size * 1.5 : 0), size, cell.bold ?? false, this.measure) }));
      const room = this.bottom - this.size.head - size * 6;
      while (cells.some((c) => c.lines.length > 0)) {
        const most = Math.max(1, Math.floor(room / (size * LINE)));
        const now = cells.map((c) => ({ ...c, lines: c.lines.slice(0, most) }));
        const height = Math.max(...now.map((c) => c.lines.length)) * size * LINE + 2 * pad;
        if (this.y + height > this.bottom) { this.newPage(); head(); }
        this.cells(now, widths, columns, size, pad);
        this.y += height;
        this.rule();
        cells = cells.map(({ status: _, ...c }) => ({ ...c, lines: c.lines.slice(most) }));
      }
    }
    this.space(8);
  }

  private cells(cells: readonly { lines: readonly string[]; bold?: boolean; status?: Verdict; ink?: Ink }[], widths: readonly number[], columns: readonly Column[], size: number, pad: number): void {
    let x = this.left;
    cells.forEach((cell, i) => {
      const width = widths[i] ?? 0; const right = columns[i]?.align === 'right';
      const lead = cell.status ? size * 1.5 : 0;
      if (cell.status && cell.lines.length > 0) this.put(...placeSymbol(statusMark(cell.status), { x: x + pad + size * 0.55, y: this.y + pad + (size * LINE) / 2, size: size * 1.1 }));
      cell.lines.forEach((l, k) => { this.put(words(right ? x + width - pad : x + pad + lead, this.y + pad + (k + 0.5) * size * LINE, l, size, { align: right ? 'right' : 'left', weight: cell.bold ? 'bold' : 'regular', ink: cell.ink ?? 'ink' })); });
      x += width;
    });
  }

  /** A framed block that is kept together. */
  box(height: number, draw: (x: number, y: number, width: number) => readonly Primitive[], width = this.width): void {
    this.need(height);
    this.put(rectangle(this.left, this.y, width, height, { width: 0.7 }), ...draw(this.left, this.y, width));
    this.y += height;
  }
}
