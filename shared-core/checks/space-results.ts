import { coolingSpaceSince, workingSpaceFigures, workingSpaceRow } from '../code-data/index';
import type { Citation, Result, Step, Verdict } from '../code-data/index';
import { scaleBetween } from '../document/index';
import type { Disconnect, Document, Scale } from '../document/index';
import { feet, showLength } from '../units/index';
import type { Feet } from '../units/index';
import { chooseRules, inFeet } from './choose-rules';
import { distanceUncertainty, judgeAtLeast } from './distance';
import { cite, finding, servedLoads, step } from './finding';
import { checkLargeEquipment } from './large-equipment';
import { listWords, nameOf } from './names';
import { checkOverlaps } from './overlaps';
import type { ReadySheet } from './pair-view';
import { ASSUMED_DEPTH, findWorkingSpace, voltsToGroundOf } from './working-space';
import type { SpaceConflict, SpaceGap, WorkingSpace } from './working-space';

const isGap = (space: WorkingSpace | SpaceGap): space is SpaceGap => 'missing' in space;

/** Depth, width and height of the clear space in front of a device, each its own result, and what a door sweeps through it. */
export function checkWorkingSpace(document: Document, sheet: ReadySheet, disconnect: Disconnect): Result[] {
  if (disconnect.data.limitedAccess) return checkLimitedAccess(document, disconnect);
  const size = disconnect.data.size;
  const space = findWorkingSpace(document, sheet, disconnect, size?.depth ?? 0);
  const citations = [cite(document.facts, 'GEN-SPACE')];
  if (isGap(space)) {
    return [finding(disconnect, { check: 'space.depth', verdict: 'incomplete', title: `${disconnect.tag}: working space not checked, ${listWords(space.missing)} missing`, missing: space.missing, citations })];
  }
  const missing = missingSizes(document, sheet, disconnect, space);
  const split = splitConflicts(space, size?.width ?? 0);
  return [depthResult(document, disconnect, space, split.depth, missing, citations), widthResult(document, disconnect, space, split.width, missing, citations),
    heightResult(document, disconnect, space, split.height, citations), ...swingResults(document, disconnect, split.swing, citations), ...checkLargeEquipment(document, sheet, disconnect)];
}

/** The space for drawing, or null while scale or voltage is missing. An enclosure of unknown size is drawn at its handle. */
export function workingSpaceOf(document: Document, sheet: ReadySheet, disconnect: Disconnect): WorkingSpace | null {
  const space = findWorkingSpace(document, sheet, disconnect, disconnect.data.size?.depth ?? 0);
  return isGap(space) ? null : space;
}

/** Room in front of a place, for finding one; a place within something else has none. */
export interface Room { readonly free: boolean; readonly slack: Feet | null; readonly clearWidth: Feet }

/** A device of unknown size is taken to be as deep as such enclosures get, and its space stays centred: what is free then is free. */
export function roomInFront(document: Document, sheet: ReadySheet, disconnect: Disconnect): Room | null {
  const { size } = disconnect.data;
  const space = findWorkingSpace(document, sheet, disconnect, size?.depth ?? (disconnect.mount ? ASSUMED_DEPTH : 0));
  if (isGap(space)) return null;
  // What would stand within so deep an enclosure stands in front of a flat one.
  const flat = size || !disconnect.mount ? space : findWorkingSpace(document, sheet, disconnect, 0);
  const isFree = !isGap(flat) && [space, flat].every((s) => s.conflicts.length === 0 && (size !== undefined || !s.shiftNeeded)) && checkOverlaps(document, sheet, disconnect).every((r) => r.verdict !== 'fail');
  return { free: isFree, slack: space.slack, clearWidth: space.clearWidth };
}

interface Split { readonly depth: SpaceConflict[]; readonly width: SpaceConflict[]; readonly height: SpaceConflict[]; readonly swing: SpaceConflict[] }

/** What hangs overhead takes height; what covers the enclosure's front takes depth when nothing beside it is free; the rest takes width. */
function splitConflicts(space: WorkingSpace, box: number): Split {
  const swing = space.conflicts.filter((c) => c.kind === 'door-swing');
  const height = space.conflicts.filter((c) => c.overhead && c.kind !== 'door-swing');
  const rest = space.conflicts.filter((c) => !c.overhead && c.kind !== 'door-swing');
  const covers = space.clearWidth <= box;
  return { swing, height, depth: covers ? rest : [], width: covers ? [] : rest };
}

/** Sizes that are not given and would change the answer. */
function missingSizes(document: Document, sheet: ReadySheet, disconnect: Disconnect, space: WorkingSpace): string[] {
  if (disconnect.data.size) return [];
  const missing: string[] = [];
  const solid = (s: WorkingSpace): number => s.conflicts.filter((c) => c.kind !== 'door-swing').length;
  const deep = disconnect.mount ? findWorkingSpace(document, sheet, disconnect, ASSUMED_DEPTH) : space;
  if (solid(space) === 0 && !isGap(deep) && solid(deep) > 0) missing.push(`enclosure depth of ${disconnect.tag}`);
  if (space.shiftNeeded) missing.push(`enclosure width of ${disconnect.tag}`);
  return missing;
}

/** How hard a lack of space is: where the section does not call for it, or argues about it, the authority decides. */
function severity(document: Document, disconnect: Disconnect): { verdict: Verdict; why: string | null } {
  const { edition } = document.facts;
  const loads = servedLoads(document, disconnect);
  const cooling = loads.length > 0 && loads.every((l) => l.data.kind === 'hermetic' || l.data.kind === 'multimotor-cooling');
  if (cooling && edition < coolingSpaceSince) return { verdict: 'judgement', why: `up to ${edition} it is argued whether cooling equipment needs this space` };
  const asked = loads.length === 0 || loads.some((l) => chooseRules(l.data, edition).some((rule) => rule.demands.includes('working-space')));
  if (!asked) return { verdict: 'judgement', why: 'argued whether this switch is likely to be worked on live' };
  if (disconnect.data.energisedWorkLikely === false) return { verdict: 'judgement', why: 'recorded as not worked on live; many inspectors still ask for the space' };
  return { verdict: 'fail', why: null };
}

/** The sheet's scale, as surely as the places of this device and of what stands around it are known. */
function scaleFor(document: Document, disconnect: Disconnect, space: WorkingSpace): Scale | null {
  const scale = document.sheets.find((s) => s.id === disconnect.sheet)?.scale;
  return scale ? scaleBetween(scale, [disconnect, space]) : null;
}

function depthResult(document: Document, disconnect: Disconnect, space: WorkingSpace, conflicts: readonly SpaceConflict[], missing: readonly string[], citations: readonly Citation[]): Result {
  const { units } = document.facts;
  const scale = scaleFor(document, disconnect, space);
  const uncertainty = scale ? distanceUncertainty(scale, space.depth) : 0;
  const worst = [...conflicts].sort((a, b) => (a.clear - a.required) - (b.clear - b.required))[0];
  const steps = spaceSteps(space);
  const common = { check: 'space.depth', citations, steps, others: [...conflicts, ...space.shared].map((c) => c.entity), value: { value: space.depth, unit: 'ft' } };
  const needs = showLength(worst?.required ?? space.depth, units);
  if (!worst) {
    if (missing.length > 0) return finding(disconnect, { ...common, verdict: 'incomplete', title: `${disconnect.tag}: working space depends on ${listWords(missing)}`, missing });
    const near = space.slack !== null && space.slack >= 0 && space.slack < uncertainty;
    const shared = space.shared.length > 0 ? `, shared with the space of ${listWords(space.shared.map((c) => nameOf(document, c.entity)))}` : '';
    const margin = space.slack === null ? {} : { margin: { value: space.slack, unit: 'ft' } };
    return near
      ? finding(disconnect, { ...common, ...margin, verdict: 'marginal', title: `${disconnect.tag}: ${needs} deep in front, by less than the plan is sure of`, remedies: [`Measure the clear depth in front of ${disconnect.tag} on site.`] })
      : finding(disconnect, { ...common, ...margin, verdict: 'pass', title: `${disconnect.tag}: ${needs} clear in front${shared}` });
  }
  const margin = { value: worst.clear - worst.required, unit: 'ft' };
  const blocker = nameOf(document, worst.entity);
  const unknownFace = conflicts.every((c) => space.faceUnknown.includes(c.entity));
  if (unknownFace) {
    const ask = [`what the face of the wall opposite ${disconnect.tag} is made of`];
    return finding(disconnect, { ...common, margin, verdict: 'incomplete', missing: ask, title: `${disconnect.tag}: ${showLength(worst.clear, units)} in front, ${needs} needed if the wall opposite counts as grounded` });
  }
  const plain = scale ? judgeAtLeast(worst.clear, scale, worst.required) : 'incomplete';
  const { verdict, why } = severity(document, disconnect);
  return finding(disconnect, { ...common, margin, verdict: plain === 'marginal' ? 'marginal' : verdict,
    title: `${disconnect.tag}: ${showLength(worst.clear, units)} in front to ${blocker}, ${needs} needed${why === null ? '' : `; ${why}`}`,
    remedies: [`Keep ${blocker} ${showLength(feet(worst.required - worst.clear), units)} further from ${disconnect.tag}, or move ${disconnect.tag}.`] });
}

function widthResult(document: Document, disconnect: Disconnect, space: WorkingSpace, conflicts: readonly SpaceConflict[], missing: readonly string[], citations: readonly Citation[]): Result {
  const { units } = document.facts;
  const needs = showLength(space.width, units);
  const common = { check: 'space.width', citations, steps: spaceSteps(space), others: conflicts.map((c) => c.entity), value: { value: space.width, unit: 'ft' }, margin: { value: space.clearWidth - space.width, unit: 'ft' } };
  if (conflicts.length === 0) {
    if (missing.length > 0) return finding(disconnect, { ...common, verdict: 'incomplete', title: `${disconnect.tag}: width of the working space depends on ${listWords(missing)}`, missing });
    // What stands beside the space by less than the plan is sure of may stand in it.
    if (space.tight && !space.conflicts.some((c) => c.kind !== 'door-swing')) return finding(disconnect, { ...common, verdict: 'marginal', title: `${disconnect.tag}: ${needs} wide, by less than the plan is sure of`, remedies: [`Measure the clear width in front of ${disconnect.tag} on site.`] });
    return finding(disconnect, { ...common, verdict: 'pass', title: `${disconnect.tag}: ${needs} wide${space.shift === 0 ? '' : `, moved ${showLength(feet(Math.abs(space.shift)), units)} to the ${space.shift > 0 ? 'right' : 'left'} hand`}` });
  }
  const scale = scaleFor(document, disconnect, space);
  const plain = scale ? judgeAtLeast(Math.max(0, space.clearWidth), scale, space.width) : 'incomplete';
  const { verdict, why } = severity(document, disconnect);
  const names = listWords(conflicts.map((c) => nameOf(document, c.entity)));
  const most = Math.max(...conflicts.map((c) => c.overlap.width));
  return finding(disconnect, { ...common, verdict: plain === 'marginal' ? 'marginal' : verdict,
    title: `${disconnect.tag}: ${names} reaches ${showLength(feet(most), units)} into the ${needs} width${why === null ? '' : `; ${why}`}`, remedies: [`Move ${disconnect.tag} sideways from ${names}, or clear ${names} away.`] });
}

function heightResult(document: Document, disconnect: Disconnect, space: WorkingSpace, conflicts: readonly SpaceConflict[], citations: readonly Citation[]): Result {
  const { units } = document.facts;
  const common = { check: 'space.height', citations, steps: spaceSteps(space), others: conflicts.map((c) => c.entity), value: { value: space.height, unit: 'ft' } };
  const needs = showLength(space.height, units);
  if (conflicts.length === 0) return finding(disconnect, { ...common, verdict: 'pass', title: `${disconnect.tag}: ${needs} head room` });
  const { verdict, why } = severity(document, disconnect);
  const names = listWords(conflicts.map((c) => nameOf(document, c.entity)));
  return finding(disconnect, { ...common, verdict, title: `${disconnect.tag}: ${names} hangs in the ${needs} head room${why === null ? '' : `; ${why}`}`, remedies: [`Raise ${names}, or move ${disconnect.tag}.`] });
}

function swingResults(document: Document, disconnect: Disconnect, swings: readonly SpaceConflict[], citations: readonly Citation[]): Result[] {
  if (swings.length === 0) return [];
  const reach = showLength(feet(Math.max(...swings.map((s) => s.overlap.depth))), document.facts.units);
  return [finding(disconnect, { check: 'space.door-swing', verdict: 'judgement', citations, others: swings.map((s) => s.entity), title: `${disconnect.tag}: a door swings ${reach} into the working space`,
    remedies: ['Hang the door to swing the other way, or move the disconnect.'] })];
}

function spaceSteps(space: WorkingSpace): Step[] {
  const { row } = space;
  return [
    step('depth', 'by volts to ground and by what stands opposite', space.depth, 'ft', [
      { name: 'volts to ground', value: space.voltsToGround, unit: 'V', from: 'typed' }, { name: 'condition', value: space.condition, unit: '', from: 'plan', ...(space.opposite === null ? {} : { source: space.opposite }) },
      { name: 'table row up to', value: row?.upToVolts ?? 0, unit: 'V', from: 'table', source: row?.citation ?? 'CSA C22.1 2-308' }]),
    step('width', 'the larger of 30 in and the enclosure; may be moved sideways', space.width, 'ft', [{ name: 'moved by', value: space.shift, unit: 'ft', from: 'computed' }, { name: 'clear width', value: space.clearWidth, unit: 'ft', from: 'plan' }]),
    step('height', 'the larger of 6.5 ft and the enclosure', space.height, 'ft', []),
    ...[...space.conflicts, ...space.shared].map((c) => step(`overlap: ${c.kind}`, 'reaches into the space', c.overlap.depth, 'ft', [{ name: 'across the width', value: c.overlap.width, unit: 'ft', from: 'plan', source: c.entity }], 'own-reading')),
  ];
}

/** Above a lay-in ceiling or in a crawl space: the opening, the width, the door; the depth stays argued. */
function checkLimitedAccess(document: Document, disconnect: Disconnect): Result[] {
  const limited = disconnect.data.limitedAccess;
  if (!limited) return [];
  const { units } = document.facts;
  const citations = [cite(document.facts, 'GEN-LIMITED')];
  const inches = (n: number): number => inFeet({ value: n, unit: 'in' });
  const [least, most] = limited.place === 'ceiling' ? workingSpaceFigures.limitedOpening.ceiling : workingSpaceFigures.limitedOpening.crawl;
  const [short, long] = [...limited.opening].sort((a, b) => a - b);
  const opens = (short ?? 0) >= inches(least ?? 0) && (long ?? 0) >= inches(most ?? 0);
  const wide = limited.clearWidth >= Math.max(inFeet(workingSpaceFigures.width), disconnect.data.size?.width ?? 0) && limited.doorDegrees >= workingSpaceFigures.doorOpening.value;
  const volts = voltsToGroundOf(document, disconnect);
  // Nothing grounded or live opposite is assumed above a ceiling: the least depth of the row.
  const depth = volts === null ? null : workingSpaceRow(volts)?.depth[1] ?? null;
  const results = [
    finding(disconnect, { check: 'space.limited-opening', verdict: opens ? 'pass' : 'fail', citations, title: `${disconnect.tag}: opening ${showLength(limited.opening[0], units)} x ${showLength(limited.opening[1], units)}`, remedies: [`Make the opening at least ${String(least)} x ${String(most)} in.`] }),
    finding(disconnect, { check: 'space.limited-width', verdict: wide ? 'pass' : 'fail', citations, title: `${disconnect.tag}: ${showLength(limited.clearWidth, units)} wide, its door opens ${limited.doorDegrees} degrees`, remedies: ['Give it 30 in. (or the enclosure’s width) and let the door open 90 degrees.'] }),
  ];
  if (depth === null) return [...results, finding(disconnect, { check: 'space.depth', verdict: 'incomplete', citations, title: `${disconnect.tag}: depth not checked`, missing: [`supply system of what ${disconnect.tag} serves (volts to ground)`] })];
  const enough = limited.clearDepth >= depth;
  return [...results, finding(disconnect, { check: 'space.depth', verdict: enough ? 'pass' : 'judgement', citations, margin: { value: limited.clearDepth - depth, unit: 'ft' },
    title: `${disconnect.tag}: ${showLength(limited.clearDepth, units)} deep, ${showLength(feet(depth), units)} if it counts as worked on live`, remedies: [`Offer a wall switch in sight below, or ask the authority having jurisdiction.`] })];
}
