import type { HostOutput } from '../../shared-core/host-api';

export interface Identify { size_px?: [number, number]; resolution?: [number, number]; resolution_unit?: string; orientation?: string; frames?: number; frame_sizes_px?: [number, number][] }
export interface ManifestEntry {
  file: string; what: string; expected_outcome: string; password?: string;
  calibration?: { dpi?: number; print_scale?: string; pixels_per_metre?: number; points_per_metre?: number; viewports?: { bbox_pt: number[]; feet_per_point: number }[]; known_dimensions?: { label: string; drawing_units?: number; inches?: number }[]; longest_wall_drawing_units?: number; longest_wall_metres?: number; declared_unit?: string; true_unit?: string };
  verified: { identify?: Identify; pdfinfo?: { pages: number; page_sizes_pt: [number, number][]; rotations: number[]; cropbox?: string[] }; userunit?: number; insunits?: number | null; entities?: Record<string, number>; bbox?: [[number, number], [number, number]] | string | null; layers_used?: [string, number][] };
}
export type Plan = HostOutput<'inspectPlan'>;
export type Page = Plan['pages'][number];
/** A file either opened, with what can be said about it, or has its problem. */
export type Opened = { readonly plan: Plan; readonly pyramids: HostOutput<'openPlan'>[]; readonly tile: (page: number, level: number, column: number, row: number) => Promise<Uint8Array | null> };
