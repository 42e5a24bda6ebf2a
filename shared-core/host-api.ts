import { z } from 'zod';
import { documentSchema } from './document/index';
import type { Document } from './document/index';
import { readJsonBytes } from './host-frame';

/**
 * The only contract between the window and main, whether it travels over Electron IPC or the loopback host.
 * It speaks in bytes and opaque ids, never in paths. Every answer is an Outcome: what a person, a file or a disk can
 * cause is a value with words for the person, never an exception.
 */
export interface Problem {
  /** Stable kebab-case name, e.g. 'not-an-image', 'disk-full', 'newer-version', 'password-needed'. */
  readonly code: string;
  /** What happened, to which object. */
  readonly what: string;
  /** What to do about it. */
  readonly todo: string;
}
export type Outcome<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problem: Problem };

const bytes: z.ZodType<Uint8Array, Uint8Array> = z.instanceof(Uint8Array);
const token = z.string().regex(/^[A-Za-z0-9_-]{1,80}$/);
const blob = z.string().regex(/^[0-9a-f]{64}$/);
const job = token.optional();
const download = z.object({ name: z.string(), media: z.string(), bytes });
/** The schema checks plain JSON, or the bytes of its text, as a large document is sent; the type adds the units that JSON cannot carry. */
const document = z.preprocess((value, context) => {
  if (!(value instanceof Uint8Array)) return value;
  const read = readJsonBytes(value);
  if (read) return read.value;
  context.addIssue({ code: 'custom', message: 'bytes that are no JSON' });
  return z.NEVER;
}, documentSchema) as unknown as z.ZodType<Document, Document>;

const pickedFile = z.object({ file: token, name: z.string(), size: z.number() });
/** A large document comes without its entities, which stand beside it (host-portions.ts). */
const openedProject = z.object({ project: token, name: z.string(), document, entities: bytes.optional(), recovered: z.object({ savedAt: z.string() }).nullable() });
const box = z.tuple([z.number(), z.number(), z.number(), z.number()]);
const pair = z.tuple([z.number(), z.number()]);
const problem = z.object({ code: z.string(), what: z.string(), todo: z.string() });
/** What a hand-over PDF may hold, in this order. */
export const PDF_SECTIONS = ['plan', 'schedule', 'findings', 'calculations', 'labels', 'isolation'] as const;
export type PdfSection = (typeof PDF_SECTIONS)[number];

/** The layers a plan can be switched by, in the file's order, and whether the file itself shows each; several of one name count as one. */
const layers = z.array(z.object({ name: z.string(), visible: z.boolean() }));
/** Names of layers to hide, all others shown; without it the file decides. */
const layersOff = z.array(z.string()).optional();
/** A length that the plan itself states, picture units. */
const statedLength = z.object({ from: pair, to: pair, text: z.string(), feet: z.number(), within: z.number().optional() });

/** A drawing scale that the file itself states, with the rectangle it holds in (x, y, width, height in picture units); feetPerUnit is null where the unit is blank. */
const fileScale = z.object({ name: z.string(), feetPerUnit: z.number().nullable(), box });

const planPage = z.object({
  page: z.number().int(), width: z.number(), height: z.number(),
  unitsPerPaperInch: z.number().nullable(), label: z.string().nullable(),
  /** What the file itself states, before it was turned upright and its picture elements made square. */
  stored: z.object({ width: z.number(), height: z.number(), turned: z.number(), mirrored: z.boolean(), unitsPerInch: pair.nullable() }),
  scales: z.array(fileScale),
  /** Lengths the drawing itself dimensions, longest first: offered as picks for the scale. */
  lengths: z.array(statedLength),
  /** A drawing's own coordinates: drawing = origin + [x, -y] / unitsPerDrawingUnit. */
  drawing: z.object({ origin: pair, unitsPerDrawingUnit: z.number(), declaredUnit: z.string().nullable() }).nullable(),
  /** What the person should know although the sheet opens. */
  warnings: z.array(problem),
  layers,
});
const planInfo = z.object({ blob, name: z.string(), media: z.string(), pages: z.array(planPage) });
/** Levels from the finest (0) to the coarsest; scale is picture elements per sheet unit. isScan: the page is one large scan, and level 0 shows all there is of it. */
const pyramid = z.object({ tile: z.number(), isScan: z.boolean().optional(), levels: z.array(z.object({ width: z.number(), height: z.number(), scale: z.number() })), layers, warnings: z.array(problem) });

const offeredWall = z.object({
  x1: z.number(), y1: z.number(), x2: z.number(), y2: z.number(), thickness: z.number(), layer: z.string().optional(), doubt: z.enum(['pen', 'edge', 'measure', 'apart']).optional(),
  openings: z.array(z.object({ from: z.number(), to: z.number(), swing: z.object({ hinge: z.enum(['from', 'to']), side: z.enum(['left', 'right']) }).optional() })).readonly().optional(),
});

const call = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });

export const hostApi = {
  /** First call of a window: what it runs in, and the project named on the command line (or the demo). */
  start: call(z.object({}), z.object({ runsIn: z.enum(['window', 'browser']), version: z.string(), opened: openedProject })),
  /** Shows the system's open dialog (window only; a browser page offers bytes instead). null when waved away. */
  pickFile: call(z.object({ purpose: z.enum(['project', 'plan', 'list']) }), pickedFile.nullable()),
  offerFile: call(z.object({ name: z.string().max(300), bytes }), pickedFile),
  openProject: call(z.object({ file: token, job }), openedProject),
  newProject: call(z.object({}), openedProject),
  /** The window does not take up a project that was opened for it; the one before is what a page shows after it was loaded again. */
  leaveProject: call(z.object({ project: token }), z.object({})),
  /** Drops work brought back after a crash and answers with the project as it was last saved. */
  discardRecovery: call(z.object({ project: token }), openedProject),
  /** Saves atomically; until its bytes are packed it can be cancelled. 'download' is set where the page must hand the file to the browser itself. */
  saveProject: call(z.object({ project: token, document, as: z.boolean(), job }), z.object({ project: token, name: z.string(), savedAt: z.string(), download: download.nullable() }).nullable()),
  /** Keeps unsaved work safe against a crash; cheap enough to be called after every few edits. */
  keepRecovery: call(z.object({ project: token, document }), z.object({ savedAt: z.string() })),
  inspectPlan: call(z.object({ file: token, password: z.string().max(200).optional(), job }), planInfo),
  /** Makes (or finds) the tile pyramid of one page. */
  openPlan: call(z.object({ blob, page: z.number().int().min(0), layersOff, password: z.string().max(200).optional(), job }), pyramid),
  /** A tile of a page opened before with the same layers. */
  planTile: call(z.object({ blob, page: z.number().int().min(0), layersOff, level: z.number().int().min(0), column: z.number().int().min(0), row: z.number().int().min(0) }), z.object({ media: z.string(), bytes })),
  /** Small upright pictures of pages to choose among, a few at a time; null where a page cannot be drawn. */
  planThumbnails: call(z.object({ blob, pages: z.array(z.number().int().min(0)).min(1).max(12), password: z.string().max(200).optional(), job }), z.object({ media: z.string(), pictures: z.array(bytes.nullable()) })),
  /**
   * Looks at a sheet as it is: skew is how far its long lines lie off level, degrees clockwise, null when none stand out;
   * lengths are those the plan dimensions itself, longest first; scales are those the file states. Picture units.
   */
  examinePlan: call(z.object({ blob, page: z.number().int().min(0), job }), z.object({ skew: z.number().nullable(), blackGround: z.boolean(), lengths: z.array(statedLength), scales: z.array(fileScale) })),
  /**
   * Makes a flat picture of a photographed page and keeps it as a plan of its own. map leads from picture units of the page to
   * picture elements of the flat picture, rows first; planSquaring gives all three.
   */
  flattenPlan: call(z.object({ blob, page: z.number().int().min(0), map: z.tuple([z.number(), z.number(), z.number(), z.number(), z.number(), z.number(), z.number(), z.number(), z.number()]), width: z.number().int().positive(), height: z.number().int().positive(), layersOff, job }),
    z.object({ blob, media: z.enum(['image/png', 'image/jpeg']) })),
  /**
   * Walls that the plan itself shows, offered for review: nothing becomes a wall unasked. Sheet units.
   * thickness is the thinnest and thickest wall to look for; shortest leaves out shorter pieces; lines within slack
   * of each other count as one. A door in a wall lies from - to along it from its first point; doubt says why it may be none.
   */
  offerWalls: call(z.object({ blob, page: z.number().int().min(0), thickness: pair, shortest: z.number().positive(), slack: z.number().positive().optional(), layersOff, job }),
    z.object({ walls: z.array(offeredWall) })),
  /** An equipment list as rows of text cells, from an offered file or from pasted text; shared-core/exchange reads the cells. */
  readList: call(z.object({ file: token.optional(), text: z.string().max(2_000_000).optional(), job }), z.object({ name: z.string(), cells: z.array(z.array(z.string())) })),
  /** The bytes to draw a sheet from, sharp at any zoom: the original, or for a drawing file the PDF page made of it. */
  planBytes: call(z.object({ blob, job }), z.object({ media: z.string(), bytes, password: z.string().nullable() })),
  /** The marked-up plan with schedule and findings, or the sections named. */
  exportPdf: call(z.object({ document, sheets: z.array(z.string()).optional(), sections: z.array(z.enum(PDF_SECTIONS)).min(1).optional(), job }), download),
  /** All loads as an equipment list; imported again it changes nothing. */
  exportList: call(z.object({ document, format: z.enum(['csv', 'xlsx']) }), download),
  exportTable: call(z.object({ document, format: z.enum(['csv', 'xlsx']), job }), download),
  /** Offers bytes to be saved where the person chooses (window only). */
  saveFile: call(download, z.object({ name: z.string() }).nullable()),
  cancel: call(z.object({ job: token }), z.object({})),
} as const;

export type HostApi = typeof hostApi;
export type HostCall = keyof HostApi;
export type HostInput<C extends HostCall> = z.input<HostApi[C]['input']>;
export type HostOutput<C extends HostCall> = z.output<HostApi[C]['output']>;

/** What main offers; the shell's IPC and the browser host both carry exactly this. */
export type HostServices = { readonly [C in HostCall]: (input: HostInput<C>) => Promise<Outcome<HostOutput<C>>> };

/** Sent from main while a job runs. */
export interface Progress { readonly job: string; readonly done: number; readonly note: string }

/** Sent from the shell's menu; the window does them as for its own keys. */
export type WindowCommand = 'new-project' | 'open-project' | 'save' | 'save-as' | 'export-pdf' | 'undo' | 'redo';
