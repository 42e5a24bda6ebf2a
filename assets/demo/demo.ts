import { PDFDocument, PDFName, PDFString } from '@cantoo/pdf-lib';
import { createCanvas, GlobalFonts } from '@napi-rs/canvas';
import type { SKRSContext2D } from '@napi-rs/canvas';
import sharp from 'sharp';
import { readDocument } from '../../shared-core/document/index';
import type { Document } from '../../shared-core/document/index';
import { CAP_HEIGHT, PALETTE } from '../../shared-core/report/index';
import type { Primitive } from '../../shared-core/report/index';
import { addFontResources, contentStream, embedFaces, inkStream } from '../../main/exchange/pdf-ink';
import { packProject, sha256 } from '../../main/files/plan-file';
import { drawPlan, SHEET } from './draw-plan';
import { projectOf } from './project';
import { SCAN } from './scan';

export interface Demo { readonly document: Document; readonly files: Readonly<Record<string, Uint8Array>> }

const DATE = new Date(Date.UTC(2026, 0, 5, 8));
const FACES = { regular: 'AtkinsonHyperlegibleNext_400Regular.ttf', bold: 'AtkinsonHyperlegibleNext_600SemiBold.ttf' } as const;

/**
 * The invented works: its plan as a vector PDF, the same print as a slightly skewed and noisy 200-dpi scan, and the project
 * on the scan. The same code gives the same bytes.
 */
export async function makeDemo(readFont: (name: string) => Promise<Uint8Array>): Promise<Demo> {
  const fonts = { regular: await readFont(FACES.regular), bold: await readFont(FACES.bold) };
  const drawn = drawPlan();
  const plan = await planPdf(drawn, fonts);
  const scan = await scanOf(drawn.plan, fonts);
  const document = projectOf(sha256(scan));
  const checked = readDocument(document);
  if (!checked.ok) throw new RangeError(`the demo does not hold together: ${checked.faults.join('; ')}`);
  const packed = packProject(document, new Map([[sha256(scan), scan]]));
  if (!packed.ok) throw new RangeError(packed.problem.what);
  return { document, files: { 'cider-works.pdf': plan, 'cider-works-scan.jpg': scan, 'cider-works.lockstead': packed.value } };
}

async function planPdf(drawn: ReturnType<typeof drawPlan>, fonts: { regular: Uint8Array; bold: Uint8Array }): Promise<Uint8Array> {
  const pdf = await PDFDocument.create({ updateMetadata: false });
  const faces = await embedFaces(pdf, fonts);
  const page = pdf.addPage([SHEET.width, SHEET.height]);
  const layer = (name: string): ReturnType<typeof pdf.context.register> => pdf.context.register(pdf.context.obj({ Type: 'OCG', Name: PDFString.of(name) }));
  const works = layer('Works'); const grid = layer('Setting-out grid');
  const resources = pdf.context.obj({ Properties: { Works: works, Grid: grid } });
  addFontResources(resources, faces);
  page.node.set(PDFName.of('Resources'), resources);
  const body = `/OC /Works BDC\n${inkStream(drawn.plan, SHEET.height, faces)}\nEMC\n/OC /Grid BDC\n${inkStream(drawn.grid, SHEET.height, faces)}\nEMC`;
  page.node.set(PDFName.of('Contents'), contentStream(pdf, body));
  pdf.catalog.set(PDFName.of('OCProperties'), pdf.context.obj({ OCGs: [works, grid], D: { Order: [works, grid], ON: [works], OFF: [grid], Name: PDFString.of('As drawn') } }));
  // ISO 32000-1, 12.9: what one point is worth on the ground, so that a reader may offer the drawing scale.
  page.node.set(PDFName.of('VP'), pdf.context.obj([{
    Type: 'Viewport', BBox: [24, 24, SHEET.width - 24, SHEET.height - 24], Name: PDFString.of('Ground floor'),
    Measure: { Type: 'Measure', Subtype: 'RL', R: PDFString.of('1/8 in = 1 ft'), X: [{ Type: 'NumberFormat', U: PDFString.of('ft'), C: 1 / SHEET.pointsPerFoot, D: 100 }], D: [{ Type: 'NumberFormat', U: PDFString.of('ft'), C: 1, D: 100 }], A: [{ Type: 'NumberFormat', U: PDFString.of('sq ft'), C: 1, D: 100 }] },
  }]));
  pdf.setTitle('Northmere Cider Works, ground floor'); pdf.setSubject('Invented works, for demonstration only'); pdf.setLanguage('en-US');
  pdf.setCreationDate(DATE); pdf.setModificationDate(DATE);
  return pdf.save({ useObjectStreams: false });
}

/** Numbers that look random and are the same every time (mulberry32, a public-domain generator). */
function noise(seed: number): () => number {
  let s = seed;
  return () => {
    s = (s + 0x6d2b79f5) | 0;
    let t = Math.imul(s ^ (s >>> 15), 1 | s);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

async function scanOf(plan: readonly Primitive[], fonts: { regular: Uint8Array; bold: Uint8Array }): Promise<Uint8Array> {
  const { width, height, matrix } = SCAN;
  GlobalFonts.register(Buffer.from(fonts.regular), 'demo-regular'); GlobalFonts.register(Buffer.from(fonts.bold), 'demo-bold');
  const canvas = createCanvas(width, height); const context = canvas.getContext('2d');
  context.fillStyle = '#cfccc6'; context.fillRect(0, 0, width, height);
  context.setTransform(...matrix);
  context.fillStyle = '#f6f4ee'; context.fillRect(0, 0, SHEET.width, SHEET.height);
  // A fold across the middle and one down each third, a little darker than the paper.
  context.fillStyle = 'rgba(120,112,96,0.10)';
  for (const x of [SHEET.width / 3, (2 * SHEET.width) / 3]) context.fillRect(x - 1.2, 0, 2.4, SHEET.height);
  context.fillRect(0, SHEET.height / 2 - 1, SHEET.width, 2);
  for (const mark of plan) drawMark(context, mark);
  const pixels = context.getImageData(0, 0, width, height).data;
  const random = noise(20260105);
  const grey = Buffer.alloc(width * height);
  for (let i = 0; i < grey.length; i += 1) {
    const value = 0.299 * (pixels[4 * i] ?? 0) + 0.587 * (pixels[4 * i + 1] ?? 0) + 0.114 * (pixels[4 * i + 2] ?? 0);
    const x = i % width; const y = (i - x) / width;
    const lamp = 5 * Math.sin((x / width) * Math.PI) - 6 * ((y / height) ** 3);
    const grain = (random() + random() - 1) * 24; const speck = random() < 0.0001 ? -130 * random() : 0;
    grey[i] = Math.max(0, Math.min(255, Math.round(value + lamp + grain + speck - 3)));
  }
  const jpeg = await sharp(grey, { raw: { width, height, channels: 1 } }).blur(0.6).toColourspace('b-w').jpeg({ quality: 62, progressive: false, optimiseCoding: true })
    .withMetadata({ density: SCAN.dpi }).toBuffer();
  return new Uint8Array(jpeg);
}

function drawMark(context: SKRSContext2D, mark: Primitive): void {
  if (mark.kind === 'text') {
    context.fillStyle = PALETTE[mark.ink]; context.font = `${mark.size}px demo-${mark.weight}`;
    context.textAlign = mark.align === 'middle' ? 'center' : mark.align;
    context.fillText(mark.text, mark.x, mark.y + (mark.size * CAP_HEIGHT) / 2);
    return;
  }
  context.beginPath();
  if (mark.kind === 'circle') context.arc(mark.x, mark.y, mark.radius, 0, Math.PI * 2);
  else for (const s of mark.steps) {
    if (s.to === 'close') context.closePath();
    else if (s.to === 'arc') context.arc(s.x, s.y, s.radius, s.start, s.end, s.end < s.start);
    else if (s.to === 'move') context.moveTo(s.x, s.y); else context.lineTo(s.x, s.y);
  }
  if (mark.fill) { context.fillStyle = PALETTE[mark.fill]; context.fill(); }
  if (mark.stroke) { context.strokeStyle = PALETTE[mark.stroke]; context.lineWidth = mark.width; context.setLineDash([...(mark.dash ?? [])]); context.stroke(); }
}
