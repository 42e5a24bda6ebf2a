import { putEntities } from '../../shared-core/document/index';
import type { Load } from '../../shared-core/document/index';
import { store } from '../state/store';
import { conditionName, words } from '../text/index';
import { AddFromList } from './add-from-list';
import { FlagField } from './fields';
import { factsOf } from './rule-questions';
import { Section } from './section';

/** Says or takes back a fact about loads, as one edit; what each recorded besides stays. */
function setFact(loads: readonly Load[], fact: string, holds: boolean): void {
  const { document, commit } = store.getState();
  const changed = loads.map((load): Load => {
    const rest = (load.data.conditions ?? []).filter((c) => c !== fact);
    const { conditions: _, ...data } = load.data;
    const next = holds ? [...rest, fact] : rest;
    return { ...load, data: next.length > 0 ? { ...data, conditions: next } : data };
  });
  commit(putEntities(document, words.edits.fact(words.facts.factOf(conditionName(fact), loads.map((l) => l.tag))), changed));
}

/** What is known about a load besides its nameplate: first what its rules ask for, then whatever else a check reads. */
export function LoadFacts({ load, shares }: { load: Load; shares: boolean }) {
  const recorded = load.data.conditions ?? [];
  const { asked, more } = factsOf(load.data, shares);
  return (
    <Section title={words.chosen.loadFacts(recorded.length)}>
      <div className="flags">
        {asked.map((fact) => <FlagField key={fact} label={conditionName(fact)} value={recorded.includes(fact)} onCommit={(on) => { setFact([load], fact, on); }} />)}
      </div>
      <AddFromList label={words.chosen.addFact} empty={words.chosen.noSuchFact} items={more.map((value) => ({ value, label: conditionName(value) }))} onAdd={(fact) => { setFact([load], fact, true); }} />
    </Section>
  );
}

const LETS_SHARE = ['one-room', 'one-overcurrent-device'] as const;

/** What lets several motors hang on one disconnect, said once for all of them. */
export function SharingFacts({ loads }: { loads: readonly Load[] }) {
  return (
    <div className="flags" role="group" aria-label={words.chosen.letsShare}>
      {LETS_SHARE.map((fact) => <FlagField key={fact} label={conditionName(fact)} value={loads.every((l) => l.data.conditions?.includes(fact))} onCommit={(on) => { setFact(loads, fact, on); }} />)}
    </div>
  );
}
