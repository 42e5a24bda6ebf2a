import sharp from 'sharp';
import { afterAll, describe, expect, it } from 'vitest';
import { createPlanShelf, endIdleJobs, inspectPlan, openPlanPage, planThumbnails, planTile } from '../../main/exchange/index';
import type { Pyramid } from '../../main/exchange/index';
import type { Outcome } from '../../shared-core/host-api';
import { darkness, planPdf, planPicture, planPixels, setEntry } from './plan-files';

afterAll(endIdleJobs);

const value = <T>(outcome: Outcome<T>): T => {
  if (!outcome.ok) throw new Error(`${outcome.problem.code}: ${outcome.problem.what}`);
  return outcome.value;
};
const code = (outcome: Outcome<unknown>): string => (outcome.ok ? 'opened' : outcome.problem.code);
const coarsest = (pyramid: Pyramid): Uint8Array => value(planTile(pyramid, pyramid.levels.length - 1, 0, 0)).bytes;
const bytesOf = async (picture: sharp.Sharp): Promise<Uint8Array> => new Uint8Array(await picture.toBuffer());

/** The mark of planPicture is in the upper left, nowhere else. */
async function isUpright(pyramid: Pyramid): Promise<void> {
  const tile = coarsest(pyramid);
  expect(await darkness(tile, 0.08, 0.12, 0.15, 0.2)).toBeGreaterThan(0.9);
  for (const [x, y] of [[0.8, 0.15], [0.8, 0.75], [0.1, 0.75]] as const) expect(await darkness(tile, x, y, x + 0.06, y + 0.06)).toBeLessThan(0.1);
}

describe('a scan or picture', () => {
  const forms: [string, () => sharp.Sharp, string][] = [
    ['PNG', () => planPicture().png(), 'image/png'],
    ['interlaced palette PNG', () => planPicture().png({ progressive: true, palette: true }), 'image/png'],
    ['1-bit PNG', () => planPicture().png({ palette: true, colours: 2 }), 'image/png'],
    ['progressive JPEG', () => planPicture().jpeg({ progressive: true }), 'image/jpeg'],
    ['CMYK JPEG', () => planPicture().toColourspace('cmyk').jpeg(), 'image/jpeg'],
    ['lossless WebP', () => planPicture().webp({ lossless: true }), 'image/webp'],
    ['LZW TIFF', () => planPicture().tiff({ compression: 'lzw' }), 'image/tiff'],
    ['tiled deflate TIFF', () => planPicture().tiff({ compression: 'deflate', tile: true, tileWidth: 64, tileHeight: 64 }), 'image/tiff'],
    ['1-bit G4 TIFF', () => planPicture().toColourspace('b-w').tiff({ compression: 'ccittfax4', bitdepth: 1 }), 'image/tiff'],
    ['JPEG-in-TIFF', () => planPicture().tiff({ compression: 'jpeg' }), 'image/tiff'],
    ['16-bit PNG', () => planPicture().toColourspace('grey16').png(), 'image/png'],
  ];
  it.each(forms)('%s opens with the right size and the right way up', async (_form, make, media) => {
    const bytes = await bytesOf(make());
    const facts = value(await inspectPlan(bytes, 'plan.bin'));
    expect(facts.media).toBe(media);
    expect(facts.pages).toMatchObject([{ width: 300, height: 200 }]);
    await isUpright(value(await openPlanPage(bytes, 0)));
  });

  it.each([1, 2, 3, 4, 5, 6, 7, 8])('EXIF orientation %i is turned upright', async (orientation) => {
    // Oracle: what each orientation does to a picture is taken from TIFF 6.0, tag 274, by moving pixels by hand.
    const source = planPixels(300, 200);
    const sideways = orientation >= 5;
    const [width, height] = sideways ? [200, 300] : [300, 200];
    const stored = Buffer.alloc(width * height);
    for (let y = 0; y < 200; y++) for (let x = 0; x < 300; x++) {
      const [X, Y] = [299 - x, 199 - y];
      const at = [[x, y], [X, y], [X, Y], [x, Y], [y, x], [y, X], [Y, X], [Y, x]][orientation - 1]!;
      stored[at[1]! * width + at[0]!] = source[y * 300 + x]!;
    }
    const bytes = await bytesOf(sharp(stored, { raw: { width, height, channels: 1 } }).withMetadata({ orientation }).jpeg({ quality: 95 }));
    const facts = value(await inspectPlan(bytes, 'photo.jpg'));
    expect(facts.pages[0]).toMatchObject({ width: 300, height: 200, stored: { width, height } });
    await isUpright(value(await openPlanPage(bytes, 0)));
  });

  it('states its resolution along x and y, and oblong picture elements are made square', async () => {
    const bytes = await bytesOf(planPicture(300, 100).tiff({ xres: 204 / 25.4, yres: 98 / 25.4 }));
    const [page] = value(await inspectPlan(bytes, 'fax.tif')).pages;
    expect(page!.stored).toMatchObject({ width: 300, height: 100 });
    expect(page!.stored.unitsPerInch![0]).toBeCloseTo(204, 0);
    expect(page!.stored.unitsPerInch![1]).toBeCloseTo(98, 0);
    expect(page).toMatchObject({ width: 300, height: 208 });
    expect(page!.unitsPerPaperInch).toBeCloseTo(204, 0);
    expect(value(await openPlanPage(bytes, 0)).levels[0]).toMatchObject({ width: 300, height: 208 });
  });

  it('a transparent ground becomes white', async () => {
    const clear = await bytesOf(sharp({ create: { width: 50, height: 50, channels: 4, background: { r: 0, g: 0, b: 0, alpha: 0 } } }).png());
    expect(await darkness(coarsest(value(await openPlanPage(clear, 0))), 0, 0, 1, 1)).toBe(0);
  });

  it('what the bytes are decides, not the name', async () => {
    expect(value(await inspectPlan(await bytesOf(planPicture().jpeg()), 'plan.pdf')).media).toBe('image/jpeg');
  });

  it('a large scan becomes tiles at halved levels, each the mean of the finer one', async () => {
    const pyramid = value(await openPlanPage(await bytesOf(planPicture(5000, 3000).png()), 0));
    expect(pyramid.levels.map((level) => [level.width, level.height])).toEqual([[5000, 3000], [2500, 1500], [1250, 750], [625, 375]]);
    expect(pyramid.tiles.size).toBe(15 + 6 + 2 + 1);
    const corner = await sharp(value(planTile(pyramid, 0, 4, 2)).bytes).metadata();
    expect([corner.width, corner.height]).toEqual([5000 - 4096, 3000 - 2048]);
    await isUpright(pyramid);
  });
});

describe('a plan file that cannot be opened has a named problem', () => {
  const cut = (bytes: Uint8Array, share: number): Uint8Array => bytes.slice(0, Math.floor(bytes.length * share));
  const opens = async (bytes: Uint8Array, name = 'plan'): Promise<string> => {
    const facts = await inspectPlan(bytes, name);
    return facts.ok ? code(await openPlanPage(bytes, 0, { name })) : code(facts);
  };
  const noisy = (): sharp.Sharp => sharp({ create: { width: 400, height: 300, channels: 3, background: '#fff', noise: { type: 'gaussian', mean: 128, sigma: 60 } } });

  it('empty, text, or some other file', async () => {
    expect(await opens(new Uint8Array(0))).toBe('empty-file');
    expect(await opens(new TextEncoder().encode('tag,hp\nP-1,5\n'))).toBe('not-a-plan');
    expect(await opens(new Uint8Array([0x47, 0x49, 0x46, 0x38, 0x39, 0x61, 1, 0, 1, 0]))).toBe('not-a-plan');
  });
  it('cut off in the middle', async () => {
    expect(['truncated', 'damaged']).toContain(await opens(cut(await bytesOf(noisy().png()), 0.5)));
    expect(await opens(cut(await bytesOf(noisy().jpeg()), 0.5))).toBe('truncated');
    expect(['truncated', 'damaged']).toContain(await opens(cut(await bytesOf(noisy().tiff()), 0.5)));
    expect(await opens(cut(await planPdf(), 0.6))).toBe('truncated');
  });
  it('absurd dimensions are refused from the header alone', async () => {
    const bytes = await bytesOf(planPicture(10, 10).png());
    new DataView(bytes.buffer).setUint32(16, 60_000);
    new DataView(bytes.buffer).setUint32(20, 60_000);
    expect(['too-large', 'damaged']).toContain(await opens(bytes));
  });
  it('JPEG-in-TIFF in its withdrawn first form, whatever the page', async () => {
    // TIFF 6.0, section 22: compression 6, with the JPEG stream pointed to by tags 513 and 514; superseded by compression 7.
    const jpeg = await bytesOf(planPicture(64, 48).toColourspace('b-w').jpeg());
    const tiff = (compressions: readonly number[]): Uint8Array => {
      const pages = compressions.map((compression) => [[256, 64], [257, 48], [258, 8], [259, compression], [262, 1], [273, 0], [277, 1], [278, 48], [279, jpeg.length], ...(compression === 6 ? [[513, 0], [514, jpeg.length]] : [])]);
      const size = (tags: readonly unknown[]): number => 2 + 12 * tags.length + 4;
      const data = 8 + pages.reduce((sum, tags) => sum + size(tags), 0);
      const head = Buffer.alloc(data);
      head.write('II'); head.writeUInt16LE(42, 2); head.writeUInt32LE(8, 4);
      let at = 8;
      pages.forEach((tags, i) => {
        head.writeUInt16LE(tags.length, at);
        tags.forEach(([tag, value], k) => { const entry = at + 2 + 12 * k; head.writeUInt16LE(tag!, entry); head.writeUInt16LE(4, entry + 2); head.writeUInt32LE(1, entry + 4); head.writeUInt32LE(tag === 273 || tag === 513 ? data : value!, entry + 8); });
        at += size(tags);
        head.writeUInt32LE(i === pages.length - 1 ? 0 : at, at - 4);
      });
      return new Uint8Array(Buffer.concat([head, jpeg]));
    };
    expect(await opens(tiff([7]))).toBe('opened');
    for (const compressions of [[6], [7, 6]]) {
      const facts = await inspectPlan(tiff(compressions), 'old.tif');
      expect(facts).toMatchObject({ ok: false, problem: { code: 'unsupported', what: expect.stringContaining('withdrawn first form of JPEG-in-TIFF') as string } });
    }
  });
  it('the words name the file and say what to do', async () => {
    const facts = await inspectPlan(new Uint8Array(0), 'press hall.png');
    expect(facts).toMatchObject({ ok: false, problem: { what: expect.stringContaining('press hall.png') as string, todo: expect.stringMatching(/\w{3,}/) as string } });
  });
});

describe('a PDF', () => {
  it('has upright pages: Rotate, CropBox and UserUnit are applied', async () => {
    const bytes = await planPdf({ prepare: (pdf) => { setEntry(pdf, 'Rotate', 90); setEntry(pdf, 'CropBox', [100, 50, 500, 350]); setEntry(pdf, 'UserUnit', 2); } });
    const [page] = value(await inspectPlan(bytes, 'plan.pdf')).pages;
    expect(page).toMatchObject({ width: 600, height: 800, unitsPerPaperInch: 72, stored: { width: 400, height: 300, turned: 90 } });
  });
  it('is drawn the right way up at about 200 dots per inch', async () => {
    const pyramid = value(await openPlanPage(await planPdf({ size: [900, 600] }), 0));
    expect(pyramid.levels[0]!.scale).toBeCloseTo(200 / 72, 3);
    await isUpright(pyramid);
  });
  it('offers the scales it carries, each with the place it holds; a blank unit stays blank', async () => {
    const viewport = (unit: string, factor: number, box: number[]): unknown =>
      ({ Type: 'Viewport', BBox: box, Measure: { Type: 'Measure', Subtype: 'RL', X: [{ C: factor, U: unit }], D: [{ C: 1, U: unit }], A: [{ C: 1, U: unit }] } });
    const { PDFString } = await import('@cantoo/pdf-lib');
    const asText = (value: unknown): unknown => (Array.isArray(value) ? value.map(asText)
      : value !== null && typeof value === 'object' ? Object.fromEntries(Object.entries(value).map(([k, v]) => [k, k === 'U' ? PDFString.of(v as string) : asText(v)])) : value);
    const bytes = await planPdf({ prepare: (pdf) => { setEntry(pdf, 'VP', asText([viewport('ft', 1 / 18, [0, 0, 300, 400]), viewport('m', 0.01, [300, 0, 600, 400]), viewport(' ', 0.7, [0, 0, 10, 10])])); } });
    const { scales } = value(await inspectPlan(bytes, 'plan.pdf')).pages[0]!;
    expect(scales.map((scale) => scale.feetPerUnit)).toEqual([expect.closeTo(1 / 18, 9), expect.closeTo(0.01 / 0.3048, 9), null]);
    expect(scales[1]!.box).toEqual([300, 0, 300, 400]);
  });
  it('asks for the password it is locked with, and the shelf remembers it for this session', async () => {
    const { PDFDocument } = await import('@cantoo/pdf-lib');
    const open = await PDFDocument.load(await planPdf());
    open.encrypt({ userPassword: 'press', ownerPassword: 'owner' });
    const bytes = await open.save({ useObjectStreams: false });
    expect(code(await inspectPlan(bytes, 'plan.pdf'))).toBe('password-needed');
    expect(code(await inspectPlan(bytes, 'plan.pdf', { password: 'wrong' }))).toBe('password-wrong');
    const shelf = createPlanShelf();
    value(await shelf.inspect('digest', bytes, 'plan.pdf', { password: 'press' }));
    expect(value(await shelf.drawable('digest', bytes))).toMatchObject({ media: 'application/pdf', password: 'press' });
    await isUpright(value(await shelf.open('digest', bytes, 'plan.pdf', 0, {})));
    expect(code(shelf.tile('digest', 0, 0, 0, 0))).toBe('opened');
    expect(code(shelf.tile('other', 0, 0, 0, 0))).toBe('not-open');
  });
  it('without a page, or damaged beyond its first page, is refused', async () => {
    const text = (body: string): Uint8Array => new TextEncoder().encode(body);
    expect(code(await inspectPlan(text('%PDF-1.4\n1 0 obj <</Type/Catalog/Pages 2 0 R>> endobj 2 0 obj <</Type/Pages/Kids[]/Count 0>> endobj\ntrailer <</Root 1 0 R>>\nstartxref\n0\n%%EOF'), 'a.pdf'))).toMatch(/no-pages|damaged/);
    expect(code(await inspectPlan(text('%PDF-1.4\nnothing here\nstartxref\n0\n%%EOF'), 'a.pdf'))).toBe('damaged');
    expect(code(await openPlanPage(await planPdf(), 7))).toBe('page-missing');
  });
});

describe('a job', () => {
  it('can be cancelled, before and while it runs, and the next one works', async () => {
    const bytes = await bytesOf(planPicture(9000, 6000).png());
    expect(code(await openPlanPage(bytes, 0, { signal: AbortSignal.abort() }))).toBe('cancelled');
    const stop = new AbortController();
    setTimeout(() => { stop.abort(); }, 30);
    expect(code(await openPlanPage(bytes, 0, { signal: stop.signal }))).toBe('cancelled');
    expect(code(await openPlanPage(bytes, 0))).toBe('opened');
  });
  it('tells its progress, growing to the end', async () => {
    const seen: number[] = [];
    value(await openPlanPage(await bytesOf(planPicture(9000, 6000).png()), 0, { onProgress: (done) => seen.push(done) }));
    expect(seen.at(-1)).toBe(1);
    expect([...seen].sort((a, b) => a - b)).toEqual(seen);
  });
});

describe('small pictures of pages', () => {
  /** Each page has its mark on another side, so that no page can stand for another. */
  async function marked(): Promise<Buffer[]> {
    const page = planPicture(1200, 800);
    const upright = await page.png().toBuffer();
    return [upright, await sharp(upright).rotate(180).png().toBuffer(), await sharp(upright).flop().png().toBuffer()];
  }
  const MARK = [[0.08, 0.12], [0.85, 0.8], [0.85, 0.12]] as const;
  async function isPage(picture: Uint8Array | null | undefined, page: number): Promise<void> {
    if (!picture) throw new Error(`page ${page} has no picture`);
    const { width, height } = await sharp(picture).metadata();
    expect([Math.max(width, height), Math.round((100 * width) / height)]).toEqual([420, 150]);
    for (const [i, [x, y]] of MARK.entries()) expect((await darkness(picture, x, y, x + 0.05, y + 0.06)) > 0.8, `mark ${i} of page ${page}`).toBe(i === page);
  }
  it('of a TIFF with several images', async () => {
    const tiff = new Uint8Array(await sharp(await marked(), { join: { animated: true } }).tiff({ compression: 'lzw' }).toBuffer());
    expect(value(await inspectPlan(tiff, 'set.tif')).pages).toHaveLength(3);
    const [third, first] = value(await planThumbnails(tiff, [2, 0]));
    await isPage(third, 2);
    await isPage(first, 0);
  });
  it('of a PDF, upright, kept on the shelf; a page that is not there has none', async () => {
    const { PDFDocument, degrees } = await import('@cantoo/pdf-lib');
    const pdf = await PDFDocument.create();
    for (const [i, png] of (await marked()).entries()) {
      const page = pdf.addPage([600, 400]);
      page.drawImage(await pdf.embedPng(png), { x: 0, y: 0, width: 600, height: 400 });
      // The second page is stored upside down and turned by the file: seen, it shows its first state.
      if (i === 1) page.setRotation(degrees(180));
    }
    const bytes = await pdf.save({ useObjectStreams: false });
    const shelf = createPlanShelf();
    const [first, second, third, none] = value(await shelf.thumbnails('digest', bytes, 'set.pdf', [0, 1, 2, 9], {}));
    await isPage(first, 0);
    await isPage(second, 0);
    await isPage(third, 2);
    expect(none).toBeNull();
    expect(code(await shelf.thumbnails('digest', bytes, 'set.pdf', [0, 2], { signal: AbortSignal.abort() }))).toBe('opened');
    expect(code(await shelf.thumbnails('other', bytes, 'set.pdf', [0], { signal: AbortSignal.abort() }))).toBe('cancelled');
  });
}, 120_000);
