import { prepareScene, sightState, traceSight } from '../../shared-core/sight/index';
import { randomFrom, randomTrial, referenceMeetings } from './sight-reference';

export interface DifferentialCount { checked: number; disagreements: string[]; clear: number; blocked: number; doubtful: number; startOnly: number }

/** The product against the independent reference on random and degenerate lines; every disagreement is written out in full. */
export function compareWithReference(pairs: number, seed: number): DifferentialCount {
  const random = randomFrom(seed);
  const count: DifferentialCount = { checked: 0, disagreements: [], clear: 0, blocked: 0, doubtful: 0, startOnly: 0 };
  while (count.checked < pairs) {
    const trial = randomTrial(random, Math.min(8, pairs - count.checked));
    const index = prepareScene({ feetPerUnit: 1, obstacles: trial.obstacles });
    const light = new Map(trial.obstacles.map((obstacle) => [obstacle.id, obstacle.transmission]));
    for (const { handle, target } of trial.pairs) {
      const should = referenceMeetings(trial, handle, target);
      const kinds = should.map((id) => light.get(id)!);
      const state = kinds.includes('opaque') ? 'blocked' : kinds.some((kind) => kind !== 'mesh') ? 'doubtful' : 'clear';
      const line = traceSight(index, handle, target);
      const is = line.meetings.map((met) => met.obstacle).sort();
      count.checked += 1; count[state] += 1;
      if (handle.mount && !should.includes(handle.mount[0]!)) count.startOnly += 1;
      if (is.join() !== should.join() || line.state !== state || sightState(index, handle, target) !== state)
        count.disagreements.push(JSON.stringify({ handle, target, obstacles: trial.obstacles, should, is, state: line.state, quick: sightState(index, handle, target) }));
    }
  }
  return count;
}
