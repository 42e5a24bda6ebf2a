import type { Result, Verdict } from '../code-data/index';
import type { Disconnect, Document, Load } from '../document/index';
import { chooseRules } from './choose-rules';
import { cite, finding, servedLoads } from './finding';
import type { PairReport } from './types';

const isMotor = (load: Load): boolean => load.data.kind === 'motor' || load.data.kind === 'torque-motor' || load.data.kind === 'dc-motor';
const all = (loads: readonly Load[], condition: string): boolean => loads.every((l) => (l.data.conditions ?? []).includes(condition));

/** Why several loads may hang on one disconnect, or why not. */
export interface SharingAnswer { readonly verdict: Verdict; readonly words: string; readonly remedies: readonly string[] }

/**
 * Whether loads may share one disconnect: motors that are parts of one machine, under one overcurrent device, or in one
 * room in sight of it.
 * @param allInSight whether every target of every load is surely in sight of the disconnect
 */
export function judgeSharing(loads: readonly Load[], allInSight: boolean): SharingAnswer {
  if (loads.length < 2) return { verdict: 'pass', words: 'serves one load', remedies: [] };
  if (loads.some((l) => l.data.kind === 'fire-pump')) return { verdict: 'fail', words: 'a fire pump’s disconnect feeds nothing else', remedies: ['Give the other loads a disconnect of their own.'] };
  if (!loads.every(isMotor)) return { verdict: 'judgement', words: 'the rule map has no sharing rule for these loads', remedies: ['Give each load its own disconnect, or ask the authority having jurisdiction.'] };
  const machine = loads[0]?.machine;
  if (machine !== undefined && loads.every((l) => l.machine === machine)) return { verdict: 'pass', words: 'the motors drive parts of one machine', remedies: [] };
  if (all(loads, 'one-overcurrent-device')) return { verdict: 'pass', words: 'the motors are under one overcurrent device', remedies: [] };
  if (allInSight && all(loads, 'one-room')) return { verdict: 'pass', words: 'the motors stand in one room in sight of it', remedies: [] };
  if (allInSight) return { verdict: 'judgement', words: 'all are in sight of it; allowed where they stand in one room', remedies: ['Record that the motors stand in one room, or give each its own disconnect.'] };
  return { verdict: 'fail', words: 'the motors are neither parts of one machine, nor under one overcurrent device, nor all in sight of it', remedies: ['Give each motor its own disconnect, or record what lets them share one.'] };
}

/** The sharing question of one disconnect; nothing for a device that serves one load. */
export function checkSharing(document: Document, disconnect: Disconnect, pairs: readonly PairReport[]): Result[] {
  const loads = servedLoads(document, disconnect);
  if (loads.length < 2) return [];
  const allInSight = pairs.length > 0 && pairs.every((pair) => pair.viewVerdict === 'pass' && pair.distanceVerdict === 'pass');
  const { verdict, words, remedies } = judgeSharing(loads, allInSight);
  const rule = loads.every((l) => chooseRules({ ...l.data, conditions: [...(l.data.conditions ?? []), 'in-a-group'] }, document.facts.edition).some((r) => r.id === 'MOT-GROUP')) ? 'MOT-GROUP' : 'GEN-INSIGHT';
  return [finding(disconnect, { check: 'place.sharing', verdict, title: `${disconnect.tag} serves ${loads.length} loads: ${words}`, remedies, citations: [cite(document.facts, rule)], others: loads.map((l) => l.id) })];
}
