import { readFile } from 'node:fs/promises';
import { PDFDocument, PDFName, PDFString, rgb, degrees } from '@cantoo/pdf-lib';
import sharp from 'sharp';
import { beforeAll, describe, expect, it, vi } from 'vitest';
import { unpackProject } from '../../main/files/plan-file';
import { writePdf } from '../../main/exchange/index';
import { MARKS_LAYER, differing, documentOf, everythingIn, pairOn, pdfOptions, pixels, planRef, plansOf, reportOf, sheetOn, textsOf, wholePdfOptions, withPdf } from './export-fixtures';
import type { PlacedText } from './export-fixtures';

// Whole files are drawn and read back: on a busy machine that takes its time.
vi.setConfig({ testTimeout: 180_000, hookTimeout: 180_000 });

const demo = new URL('../../assets/demo/', import.meta.url).pathname;

async function written(...args: Parameters<typeof writePdf>): Promise<Uint8Array> {
  const out = await writePdf(...args);
  if (!out.ok) throw new Error(`${out.problem.code}: ${out.problem.what}`);
  return out.value;
}

/** A plan of 900 x 600 points with a few marks of its own. */
async function vectorPlan(change: (pdf: PDFDocument) => void | Promise<void> = () => undefined): Promise<Uint8Array> {
  const pdf = await PDFDocument.create({ updateMetadata: false });
  const page = pdf.addPage([900, 600]);
  page.drawRectangle({ x: 100, y: 100, width: 700, height: 400, borderColor: rgb(0, 0, 0), borderWidth: 3 });
  page.drawCircle({ x: 300, y: 300, size: 40, color: rgb(0.2, 0.6, 0.3) });
  await change(pdf);
  return pdf.save({ useObjectStreams: false });
}

const onPlan = (bytes: Uint8Array, width = 900, height = 600) => documentOf([sheetOn('one', planRef(bytes, 'application/pdf', width, height))], pairOn('one', '1', [200, 200], [500, 300]));

interface Read { readonly width: number; readonly height: number; readonly texts: readonly PlacedText[] }

describe('the marked-up PDF of the demo', () => {
  let bytes: Uint8Array; let scan: Uint8Array; let source: ReturnType<typeof unpackProject>; let pages: readonly Read[];
  beforeAll(async () => {
    source = unpackProject(new Uint8Array(await readFile(`${demo}cider-works.lockstead`)), 'demo');
    if (!source.ok) throw new Error(source.problem.what);
    scan = [...source.value.plans.values()][0] ?? new Uint8Array();
    bytes = await written(reportOf(source.value.document), source.value.plans, await wholePdfOptions());
    pages = await withPdf(bytes, async (pdf) => {
      const read: Read[] = [];
      for (let i = 1; i <= pdf.numPages; i += 1) { const page = await pdf.getPage(i); const { width, height } = page.getViewport({ scale: 1 }); read.push({ width, height, texts: await textsOf(page) }); }
      return read;
    });
  });

  it('holds the scan byte for byte', () => {
    expect(Buffer.from(bytes).includes(Buffer.from(scan))).toBe(true);
  });

  it('is the scan\'s size on paper, plus the strip below', () => {
    expect(pages[0]?.width).toBeCloseTo((3400 / 200) * 72, 3);
    expect(pages[0]?.height).toBeGreaterThan((2200 / 200) * 72 + 60);
  });

  it('is all selectable text: every tag, the cautions, date, revision, sheet name and the schedule', () => {
    if (!source.ok) throw new Error('no demo');
    const document = source.value.document;
    const sheet = pages[0]?.texts.map((t) => t.text);
    for (const e of Object.values(document.entities)) if ('tag' in e && !('at' in e && e.at === null)) expect(sheet, e.tag).toContain(e.tag);
    const all = pages.flatMap((p) => p.texts.map((t) => t.text)).join(' ');
      for (const words of ['Ground floor', 'Revision C, issued 2026-01-05', 'verify the absence of voltage', 'licensed engineer', 'authority having jurisdiction', 'Schedule of disconnects', 'Findings', 'Calculations', 'I_FLC = NFPA 70 Table 430.250', 'Labels for disconnects', 'Not released: fail', 'Energy isolation: M-101 apple mill', "1/8\" = 1'-0\"", 'behind T-5', 'through glass', 'too far']) expect(all.includes(words), words).toBe(true);
  });

  it('states the cautions and where it belongs on every page', () => {
    pages.forEach(({ texts }, i) => {
      const words = texts.map((t) => t.text).join(' ');
      for (const part of ['Northmere Cider Works', '2026-01-05', 'authority having jurisdiction', 'absence of voltage', 'ualified persons']) expect(words, `page ${i + 1}`).toContain(part);
    });
  });

  it('keeps every word inside its page, and no two words over each other', () => {
    pages.forEach(({ width, height, texts }, n) => {
      const boxes = texts.map((t) => ({ text: t.text, x1: t.x - t.width / 2, x2: t.x + t.width / 2, y1: t.y - t.height * 0.62, y2: t.y + t.height * 0.02 }));
      const outside = boxes.filter((b) => b.x1 < 0 || b.y1 < 0 || b.x2 > width || b.y2 > height).map((b) => b.text);
      expect(outside, `page ${n + 1}`).toEqual([]);
      boxes.sort((a, b) => a.y1 - b.y1);
      const over: string[] = [];
      boxes.forEach((p, i) => {
        for (const q of boxes.slice(i + 1)) {
          if (q.y1 >= p.y2) break;
          if (p.x1 < q.x2 - 0.2 && q.x1 < p.x2 - 0.2) over.push(`${p.text} | ${q.text}`);
        }
      });
      expect(over, `page ${n + 1}`).toEqual([]);
    });
  });

  it('puts a motor\'s horsepower where the motor stands', () => {
    if (!source.ok) throw new Error('no demo');
    const load = source.value.document.entities['load-ac-602'];
    if (load?.kind !== 'load' || !load.at) throw new Error('no AC-602');
    const { x, y } = load.at;
    const near = (pages[0]?.texts ?? []).filter((t) => t.text === '25').map((t) => Math.hypot(t.x - (x * 72) / 200, t.y - (y * 72) / 200));
    expect(Math.min(...near)).toBeLessThan(3.5);
  });

  it('has a table of contents that leads to the sheet and to each section', async () => {
    await withPdf(bytes, async (pdf) => {
      const outline = await pdf.getOutline();
      expect(outline.map((item) => item.title)).toEqual(['Ground floor', 'Schedule of disconnects', 'Findings', 'Calculations', 'Labels for disconnects', 'Energy-isolation sheets']);
      for (const { title, dest, url } of outline) {
        expect(url).toBeNull();
        const page = await pdf.getPageIndex((dest as [{ num: number; gen: number }])[0]) + 1;
        expect(pages[page - 1]?.texts.some((t) => t.text.includes(title)), title).toBe(true);
      }
    });
  });

  it('has the same bytes each time for the same date', async () => {
    if (!source.ok) throw new Error('no demo');
    const again = await written(reportOf(source.value.document), source.value.plans, await wholePdfOptions());
    expect(Buffer.compare(bytes, again)).toBe(0);
  });

  it('carries its faces inside, with a subset tag and a way back to text', async () => {
    const all = await everythingIn(bytes);
    const fonts = [...all.matchAll(/\/BaseFont \/([A-Z]{6}\+\S+)/g)].map((m) => m[1]);
    expect(new Set(fonts)).toEqual(new Set(['LKSTDR+AtkinsonHyperlegibleNext-Regular', 'LKSTDB+AtkinsonHyperlegibleNext-SemiBold']));
    expect(all.match(/\/FontFile2/g)?.length).toBe(2);
    expect(all.match(/\/ToUnicode/g)?.length).toBe(2);
  });
});

describe('marks on a PDF plan', () => {
  it('leave the source page as it was, pixel for pixel, when their layer is off', async () => {
    const plan = new Uint8Array(await readFile(`${demo}cider-works.pdf`));
    const document = documentOf([sheetOn('one', planRef(plan, 'application/pdf', 1224, 792))], pairOn('one', '1', [200, 200], [500, 300]));
    const bytes = await written(reportOf(document), plansOf(plan), await pdfOptions());
    const before = await withPdf(plan, async (pdf) => pixels(pdf, await pdf.getPage(1), 1, true, 792));
    await withPdf(bytes, async (pdf) => {
      const page = await pdf.getPage(1);
      expect(differing(before, await pixels(pdf, page, 1, false, 792))).toBe(0);
      expect(differing(before, await pixels(pdf, page, 1, true, 792))).toBeGreaterThan(500);
    });
  });

  it('keep the source\'s content stream byte for byte, its layers and their state, and its measuring viewport', async () => {
    const plan = new Uint8Array(await readFile(`${demo}cider-works.pdf`));
    const document = documentOf([sheetOn('one', planRef(plan, 'application/pdf', 1224, 792))], pairOn('one', '1', [200, 200], [500, 300]));
    const bytes = await written(reportOf(document), plansOf(plan), await pdfOptions());
    const original = await PDFDocument.load(plan, { updateMetadata: false });
    const stream = original.getPage(0).node.lookup(PDFName.of('Contents')) as unknown as { getContents(): Uint8Array };
    expect(Buffer.from(bytes).includes(Buffer.from(stream.getContents()))).toBe(true);
    expect(await everythingIn(bytes)).toContain('/Measure');
    await withPdf(bytes, async (pdf) => {
      const config = await pdf.getOptionalContentConfig();
      const states = Object.fromEntries([...config].map(([, g]) => [(g as { name: string }).name, (g as { visible: boolean }).visible]));
      expect(states).toEqual({ Works: true, 'Setting-out grid': false, [MARKS_LAYER]: true });
    });
  });

  it('hide the layers that their sheet hides, also where the same page shows others on another sheet', async () => {
    const plan = new Uint8Array(await readFile(`${demo}cider-works.pdf`));
    const onSheet = (id: string, layersOff: readonly string[]) => sheetOn(id, planRef(plan, 'application/pdf', 1224, 792, { layersOff }));
    const document = documentOf([onSheet('one', ['Works']), onSheet('two', ['Setting-out grid'])], [...pairOn('one', '1', [200, 200], [500, 300]), ...pairOn('two', '2', [200, 200], [500, 300])]);
    const bytes = await written(reportOf(document), plansOf(plan), await pdfOptions());
    // Compared with the source drawn with its layers switched by the reader itself.
    const expected = (off: string) => withPdf(plan, async (pdf) => {
      const config = await pdf.getOptionalContentConfig();
      for (const [id, group] of config) config.setVisibility(id, (group as { name: string }).name !== off);
      return pixels(pdf, await pdf.getPage(1), 1, true, 792, config);
    });
    const [noWorks, noGrid] = [await expected('Works'), await expected('Setting-out grid')];
    expect(differing(noWorks, noGrid)).toBeGreaterThan(500);
    await withPdf(bytes, async (pdf) => {
      expect(differing(noWorks, await pixels(pdf, await pdf.getPage(1), 1, false, 792))).toBe(0);
      expect(differing(noGrid, await pixels(pdf, await pdf.getPage(2), 1, false, 792))).toBe(0);
    });
  });

  it.each([[0, 1], [90, 1], [180, 1], [270, 1], [90, 2], [270, 0.5]] as const)('stand upright and in place on a page turned by %i with a unit of %d/72 inch and a crop that is off the corner', async (turn, unit) => {
    const pdf = await PDFDocument.create({ updateMetadata: false });
    const page = pdf.addPage([1000, 700]);
    page.setCropBox(60, 40, 900, 600); page.setRotation(degrees(turn));
    if (unit !== 1) page.node.set(PDFName.of('UserUnit'), pdf.context.obj(unit));
    page.drawRectangle({ x: 0, y: 0, width: 1000, height: 700, color: rgb(0.9, 0.95, 0.9) });
    const plan = await pdf.save({ useObjectStreams: false });
    const [width, height] = turn % 180 === 0 ? [900 * unit, 600 * unit] : [600 * unit, 900 * unit];
    const at = [width * 0.3, height * 0.35] as const;
    const document = documentOf([sheetOn('one', planRef(plan, 'application/pdf', width, height))], pairOn('one', '1', [width * 0.6, height * 0.6], at));
    const bytes = await written(reportOf(document), plansOf(plan), await pdfOptions());
    await withPdf(bytes, async (out) => {
      const shown = await out.getPage(1);
      const view = shown.getViewport({ scale: 1 });
      expect(view.width).toBeCloseTo(width, 3);
      expect(view.height).toBeGreaterThan(height + 40);
      const texts = await textsOf(shown);
      const ring = texts.filter((t) => t.text === '25').map((t) => Math.hypot(t.x - at[0], t.y - at[1]));
      expect(Math.min(...ring)).toBeLessThan(4);
      // The strip lies below the plan, none of its words on it.
      expect(texts.filter((t) => t.text === 'Cautions').every((t) => t.y > height)).toBe(true);
      const before = await withPdf(plan, async (source) => pixels(source, await source.getPage(1), 1, true, height));
      expect(differing(before, await pixels(out, shown, 1, false, height))).toBe(0);
    });
  });

  it.each(['q 0.5 0 0 0.5 30 40 cm q 1 0 0 rg 100 100 50 50 re f', 'Q 0.5 0 0 0.5 30 40 cm 1 0 0 rg 100 100 50 50 re f q', '0.5 0 0 0.5 30 40 cm (Q q \\) q) pop 1 0 0 rg 100 100 50 50 re f'])('stand in place even where the source leaves its graphics state changed: %s', async (content) => {
    const plan = await vectorPlan((pdf) => {
      const page = pdf.getPage(0);
      page.node.set(PDFName.of('Contents'), pdf.context.register(pdf.context.flateStream(content)));
    });
    const bytes = await written(reportOf(onPlan(plan)), plansOf(plan), await pdfOptions());
    const before = await withPdf(plan, async (pdf) => pixels(pdf, await pdf.getPage(1), 1, true, 600));
    await withPdf(bytes, async (pdf) => {
      const page = await pdf.getPage(1);
      expect(Math.min(...(await textsOf(page)).filter((t) => t.text === '25').map((t) => Math.hypot(t.x - 500, t.y - 300)))).toBeLessThan(4);
      expect(differing(before, await pixels(pdf, page, 1, false, 600))).toBe(0);
    });
  });

  it('of several sheets come in sheet order, each on its own source, layers of all of them kept', async () => {
    const first = new Uint8Array(await readFile(`${demo}cider-works.pdf`));
    const second = await vectorPlan((pdf) => { pdf.addPage([400, 300]).drawRectangle({ x: 10, y: 10, width: 50, height: 50 }); });
    const document = documentOf([
      sheetOn('b', planRef(second, 'application/pdf', 400, 300, { page: 1 })), sheetOn('a', planRef(first, 'application/pdf', 1224, 792)), sheetOn('bare', null),
    ], [...pairOn('b', '21', [100, 100], [200, 200]), ...pairOn('a', '11', [200, 200], [500, 300]), ...pairOn('bare', '31', [100, 100], [300, 300])]);
    const bytes = await written(reportOf(document), plansOf(first, second), await pdfOptions());
    await withPdf(bytes, async (pdf) => {
      for (const [i, tag] of ['DS-21', 'DS-11', 'DS-31'].entries()) expect((await textsOf(await pdf.getPage(i + 1))).map((t) => t.text)).toContain(tag);
      expect((await pdf.getPage(1)).getViewport({ scale: 1 }).width).toBe(400);
      const names = [...await pdf.getOptionalContentConfig()].map(([, g]) => (g as { name: string }).name);
      expect(names).toContain('Setting-out grid');
    });
  });
});

describe('a picture plan', () => {
  it('that the camera took sideways stands upright', async () => {
    const upright = await sharp({ create: { width: 400, height: 200, channels: 3, background: '#ffffff' } })
      .composite([{ input: await sharp({ create: { width: 100, height: 60, channels: 3, background: '#c00000' } }).png().toBuffer(), left: 20, top: 10 }]).png().toBuffer();
    for (const orientation of [1, 2, 3, 4, 5, 6, 7, 8]) {
      // Turn the picture the way a camera would have stored it, so that the stated orientation brings it back.
      let stored = sharp(upright);
      if (orientation === 2) stored = stored.flop();
      else if (orientation === 3) stored = stored.rotate(180);
      else if (orientation === 4) stored = stored.flip();
      else if (orientation === 5) stored = sharp(await stored.rotate(90).toBuffer()).flop();
      else if (orientation === 6) stored = stored.rotate(270);
      else if (orientation === 7) stored = sharp(await stored.rotate(270).toBuffer()).flop();
      else if (orientation === 8) stored = stored.rotate(90);
      const jpeg = new Uint8Array(await stored.withMetadata({ orientation }).jpeg({ quality: 95 }).toBuffer());
      const check = await sharp(Buffer.from(jpeg)).autoOrient().raw().toBuffer({ resolveWithObject: true });
      expect([check.info.width, check.info.height, (check.data[(30 * 400 + 60) * check.info.channels + 1] ?? 255) < 60], `fixture ${orientation}`).toEqual([400, 200, true]);
      const document = documentOf([sheetOn('one', planRef(jpeg, 'image/jpeg', 400, 200, { unitsPerPaperInch: 72 }))], []);
      const bytes = await written(reportOf(document), plansOf(jpeg), await pdfOptions());
      expect(Buffer.from(bytes).includes(Buffer.from(jpeg))).toBe(true);
      await withPdf(bytes, async (pdf) => {
        const { data, width } = await pixels(pdf, await pdf.getPage(1), 1, false, 200);
        const red = (x: number, y: number): boolean => (data[(y * width + x) * 4] ?? 0) > 150 && (data[(y * width + x) * 4 + 1] ?? 255) < 80;
        expect([red(30, 20), red(110, 60), red(30, 80), red(380, 20), red(380, 180), red(30, 180)], `orientation ${orientation}`).toEqual([true, true, false, false, false, false]);
      });
    }
  });

  it.each([
    ['a grey PNG', async () => sharp({ create: { width: 300, height: 200, channels: 3, background: '#808080' } }).toColourspace('b-w').png().toBuffer()],
    ['a colour PNG', async () => sharp({ create: { width: 300, height: 200, channels: 3, background: '#204080' } }).png().toBuffer()],
    ['a palette PNG', async () => sharp({ create: { width: 300, height: 200, channels: 3, background: '#204080' } }).png({ palette: true }).toBuffer()],
    ['an interlaced PNG', async () => sharp({ create: { width: 300, height: 200, channels: 3, background: '#204080' } }).png({ progressive: true }).toBuffer()],
    ['a half-transparent PNG', async () => sharp({ create: { width: 300, height: 200, channels: 4, background: { r: 32, g: 64, b: 128, alpha: 0.5 } } }).png().toBuffer()],
    ['a WebP', async () => sharp({ create: { width: 300, height: 200, channels: 3, background: '#204080' } }).webp({ lossless: true }).toBuffer()],
    ['a black-and-white TIFF', async () => sharp({ create: { width: 300, height: 200, channels: 3, background: '#ffffff' } }).toColourspace('b-w').tiff({ bitdepth: 1 }).toBuffer()],
  ] as const)('comes through in its own colours: %s', async (_, make) => {
    const picture = new Uint8Array(await make());
    const document = documentOf([sheetOn('one', planRef(picture, 'image/png', 300, 200, { unitsPerPaperInch: 72 }))], []);
    const bytes = await written(reportOf(document), plansOf(picture), await pdfOptions());
    const expected = await sharp(Buffer.from(picture)).flatten({ background: '#fff' }).toColourspace('srgb').raw().toBuffer({ resolveWithObject: true });
    await withPdf(bytes, async (pdf) => {
      const { data, width } = await pixels(pdf, await pdf.getPage(1), 1, false, 200);
      const at = (100 * width + 150) * 4; const from = (100 * 300 + 150) * expected.info.channels;
      for (let c = 0; c < 3; c += 1) expect(Math.abs((data[at + c] ?? -99) - (expected.data[from + Math.min(c, expected.info.channels - 1)] ?? 99))).toBeLessThanOrEqual(1);
    });
  });
});

describe('a plan that cannot be written on', () => {
  it('is named when it is missing', async () => {
    const plan = await vectorPlan();
    const out = await writePdf(reportOf(onPlan(plan)), new Map(), await pdfOptions());
    expect(out).toMatchObject({ ok: false, problem: { code: 'plan-missing' } });
  });
  it('is named when it is cut off or no PDF inside', async () => {
    const broken = new TextEncoder().encode('%PDF-1.7\nnothing');
    expect(await writePdf(reportOf(onPlan(broken)), plansOf(broken), await pdfOptions())).toMatchObject({ ok: false, problem: { code: 'damaged' } });
  });
  it('asks for the password of a locked file, opens with it, and needs none where only changes are barred', async () => {
    const locked = async (userPassword: string): Promise<Uint8Array> => { const pdf = await PDFDocument.load(await vectorPlan(), { updateMetadata: false }); pdf.encrypt({ userPassword, ownerPassword: 'owner' }); return pdf.save({ useObjectStreams: false }); };
    const plan = await locked('secret');
    expect(await writePdf(reportOf(onPlan(plan)), plansOf(plan), await pdfOptions())).toMatchObject({ ok: false, problem: { code: 'password-needed' } });
    const key = [...plansOf(plan).keys()][0] ?? '';
    expect(await writePdf(reportOf(onPlan(plan)), plansOf(plan), { ...await pdfOptions(), passwords: new Map([[key, 'wrong']]) })).toMatchObject({ ok: false, problem: { code: 'password-wrong' } });
    expect((await writePdf(reportOf(onPlan(plan)), plansOf(plan), { ...await pdfOptions(), passwords: new Map([[key, 'secret']]) })).ok).toBe(true);
    const open = await locked('');
    expect((await writePdf(reportOf(onPlan(open)), plansOf(open), await pdfOptions())).ok).toBe(true);
  });
  it('is refused when its page has another shape than the sheet', async () => {
    const plan = await vectorPlan();
    expect(await writePdf(reportOf(onPlan(plan, 900, 900)), plansOf(plan), await pdfOptions())).toMatchObject({ ok: false, problem: { code: 'plan-changed' } });
    const missing = documentOf([sheetOn('one', planRef(plan, 'application/pdf', 900, 600, { page: 3 }))], []);
    expect(await writePdf(reportOf(missing), plansOf(plan), await pdfOptions())).toMatchObject({ ok: false, problem: { code: 'page-missing' } });
  });
});

describe('a source that acts', () => {
  /** In plain letters, as a hex string, and as UTF-16. */
  const MARKER = /MARKER|4D41524B4552|004D00410052004B/i;
  const script = 'app.alert("MARKER")';
  const action = (pdf: PDFDocument, kind: string) => pdf.context.obj({ Type: 'Action', S: kind, JS: PDFString.of(script), URI: PDFString.of('http://MARKER.invalid'), F: PDFString.of('MARKER.exe') });
  const cases: Record<string, (pdf: PDFDocument) => void | Promise<void>> = {
    'an action on opening': (pdf) => { pdf.catalog.set(PDFName.of('OpenAction'), action(pdf, 'JavaScript')); },
    'actions of the document': (pdf) => { pdf.catalog.set(PDFName.of('AA'), pdf.context.obj({ WC: action(pdf, 'JavaScript') })); },
    'named scripts': (pdf) => { pdf.addJavaScript('MARKER', script); },
    'actions of a page': (pdf) => { pdf.getPage(0).node.set(PDFName.of('AA'), pdf.context.obj({ O: action(pdf, 'JavaScript') })); },
    'attached files': async (pdf) => { await pdf.attach(new TextEncoder().encode('MARKER'), 'MARKER.bin', { mimeType: 'text/plain' }); },
    'a launching link': (pdf) => { annotate(pdf, { Type: 'Annot', Subtype: 'Link', Rect: [10, 10, 90, 90], A: action(pdf, 'Launch') }); },
    'a web link': (pdf) => { annotate(pdf, { Type: 'Annot', Subtype: 'Link', Rect: [10, 10, 90, 90], A: action(pdf, 'URI') }); },
    'a form with scripts': (pdf) => {
      const field = pdf.getForm().createTextField('MARKER'); field.setText('seen'); field.addToPage(pdf.getPage(0), { x: 50, y: 50, width: 90, height: 20 });
      field.acroField.dict.set(PDFName.of('AA'), pdf.context.obj({ K: action(pdf, 'JavaScript') }));
    },
    'a picture with an action hidden in its resources': (pdf) => {
      const form = pdf.context.flateStream('0 0 1 rg 0 0 20 20 re f', { Type: 'XObject', Subtype: 'Form', BBox: [0, 0, 20, 20], AA: { O: action(pdf, 'JavaScript') }, OPI: { MARKER: 1 }, Ref: { F: PDFString.of('MARKER.pdf'), Page: 0 }, Metadata: PDFString.of('MARKER') });
      pdf.getPage(0).node.setXObject(PDFName.of('Nested'), pdf.context.register(form));
    },
    'a stream that lies in another file': (pdf) => {
      pdf.getPage(0).node.setXObject(PDFName.of('Outside'), pdf.context.register(pdf.context.stream('', { Type: 'XObject', Subtype: 'Form', BBox: [0, 0, 1, 1], F: PDFString.of('MARKER.bin') })));
    },
    'document metadata': (pdf) => { pdf.setAuthor('MARKER'); pdf.catalog.set(PDFName.of('Metadata'), pdf.context.register(pdf.context.stream('MARKER', { Type: 'Metadata', Subtype: 'XML' }))); },
    'a film or a model': (pdf) => { annotate(pdf, { Type: 'Annot', Subtype: 'RichMedia', Rect: [10, 10, 90, 90], RichMediaContent: { MARKER: PDFString.of('MARKER') } }); },
  };

  function annotate(pdf: PDFDocument, dict: Record<string, unknown>): void {
    pdf.getPage(0).node.set(PDFName.of('Annots'), pdf.context.obj([pdf.context.register(pdf.context.obj(dict as never))]));
  }

  it.each(Object.keys(cases))('is stripped of %s', async (name) => {
    const plan = await vectorPlan(cases[name]);
    expect(MARKER.test(Buffer.from(plan).toString('latin1') + await everythingIn(plan)), 'the fixture acts').toBe(true);
    const bytes = await written(reportOf(onPlan(plan)), plansOf(plan), await pdfOptions());
    const all = Buffer.from(bytes).toString('latin1') + await everythingIn(bytes);
    // Compared as short words: a failing match would print the whole file.
    expect(MARKER.exec(all)?.[0]).toBeUndefined();
    expect(/\/(OpenAction|JavaScript|JS|AA|Launch|EmbeddedFiles?|AcroForm|RichMedia\w*|SubmitForm|GoToR|URI|XFA|Annots)\b/.exec(all)?.[0]).toBeUndefined();
  });

  it('still shows what its form fields and stamps looked like', async () => {
    const plan = await vectorPlan((pdf) => {
      const look = pdf.context.register(pdf.context.flateStream('1 0 0 rg 0 0 10 10 re f', { Type: 'XObject', Subtype: 'Form', BBox: [0, 0, 10, 10], Matrix: [0, 1, -1, 0, 0, 0] }));
      const stamp = (x: number, flags: number) => pdf.context.register(pdf.context.obj({ Type: 'Annot', Subtype: 'Stamp', Rect: [x, 450, x + 80, 490], AP: { N: look }, F: flags }));
      // One that shows, one hidden, one that only prints.
      pdf.getPage(0).node.set(PDFName.of('Annots'), pdf.context.obj([stamp(400, 4), stamp(500, 6), stamp(600, 36)]));
    });
    const bytes = await written(reportOf(onPlan(plan)), plansOf(plan), await pdfOptions());
    const before = await withPdf(plan, async (pdf) => pixels(pdf, await pdf.getPage(1), 1, true, 600));
    await withPdf(bytes, async (pdf) => { expect(differing(before, await pixels(pdf, await pdf.getPage(1), 1, false, 600))).toBe(0); });
    expect([440, 540, 640].map((x) => (before.data[(130 * 900 + x) * 4 + 1] ?? 255) < 50)).toEqual([true, false, false]);
  });
});

it('refuses a sheet that the project does not have', async () => {
  const document = documentOf([sheetOn('one', null)], []);
  const { auditDocument } = await import('../../shared-core/audit/index');
  const { buildReport } = await import('../../shared-core/report/index');
  expect(() => buildReport(document, auditDocument(document), { date: '2026-01-05', sheets: ['two'] })).toThrow(RangeError);
});
