import { sheetWords } from '../text/index';

type PagesRead = { readonly ok: true; readonly value: readonly number[] } | { readonly ok: false; readonly reason: string };

/**
 * Pages as people name them: '1-3, 7', 'all', '5-' to the last, '-4' from the first. In the file's order, each once.
 * @param count  pages that the file has, at least 1
 * @returns 0-based pages, or why the text names none
 */
export function readPageRange(text: string, count: number): PagesRead {
  const plain = text.trim().toLowerCase().replace(/[–—]/g, '-').replace(/\s*-\s*/g, '-');
  if (plain === '') return { ok: true, value: [] };
  if (plain === 'all') return { ok: true, value: Array.from({ length: count }, (_, i) => i) };
  const pages = new Set<number>();
  for (const part of plain.split(/[,;\s]+/).filter((each) => each !== '')) {
    const range = /^(\d{1,6})?(-)?(\d{1,6})?$/.exec(part);
    const first = range?.[1] === undefined ? 1 : Number(range[1]);
    const last = range?.[3] !== undefined ? Number(range[3]) : range?.[2] === undefined ? first : count;
    if (!range || (range[1] === undefined && range[3] === undefined) || (range[3] !== undefined && range[2] === undefined)) return { ok: false, reason: sheetWords.notPages(part) };
    if (first < 1 || last > count || first > last) return { ok: false, reason: first > last ? sheetWords.notPages(part) : sheetWords.noSuchPage(part, count) };
    for (let page = first; page <= last; page += 1) pages.add(page - 1);
  }
  return { ok: true, value: [...pages].sort((a, b) => a - b) };
}

/** The chosen pages as readPageRange reads them. @param pages 0-based */
export function showPageRange(pages: Iterable<number>): string {
  const runs: [number, number][] = [];
  for (const page of [...pages].sort((a, b) => a - b)) {
    const run = runs.at(-1);
    if (run?.[1] === page - 1) run[1] = page; else runs.push([page, page]);
  }
  return runs.map(([from, to]) => (from === to ? String(from + 1) : `${from + 1}-${to + 1}`)).join(', ');
}
