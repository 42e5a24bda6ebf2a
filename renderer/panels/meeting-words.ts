import type { Meeting, PairReport } from '../../shared-core/checks/index';
import type { Document } from '../../shared-core/document/index';
import { feet, showLength } from '../../shared-core/units/index';
import { words } from '../text/index';
import { entityName } from './edit-entity';

/** What the first obstacle on a pair's lines is called, how the view meets it and at which height. */
export function meetingWords(pair: PairReport, document: Document): string {
  const { units } = document.facts;
  const called = ({ entity }: Meeting): string => { const found = document.entities[entity]; return found ? entityName(found) : ''; };
  const height = ({ at }: Meeting): string => showLength(feet(at.z), units, { finest: 1 });
  const lines = [['eyeLine', pair.eyeLine], ['bodyLine', pair.bodyLine]] as const;
  const said = lines.flatMap(([name, line]) => {
    if (!line || line.state === 'clear') return [];
    const first = line.meets.find((m) => (line.state === 'blocked' ? m.transmission === 'opaque' : m.transmission !== 'mesh')) ?? line.meets[0];
    if (!first) return [{ line: words.sight[name], what: words.sight[line.state], heights: [] }];
    return [{ line: words.sight[name], what: line.state === 'blocked' ? words.sight.blockedBy(called(first)) : words.sight.through(called(first)), heights: [height(first)] }];
  });
  const [a, b] = said;
  if (!a) {
    if (!pair.eyeLine || !pair.bodyLine) return words.sight.unknown;
    const mesh = [...pair.eyeLine.meets, ...pair.bodyLine.meets].find((m) => m.transmission === 'mesh');
    return mesh ? `${words.sight.bothClear}, ${words.sight.through(called(mesh))}` : words.sight.bothClear;
  }
  if (b && b.what === a.what) return `${words.sight.bothLines} ${a.what}${words.sight.at([...new Set([...a.heights, ...b.heights])])}`;
  return said.map((s) => `${s.line} ${s.what}${words.sight.at(s.heights)}`).join(', ');
}
