import type { PairReport } from '../../shared-core/checks/index';
import { useApp } from './use-app';

/**
 * How far a pair's handle may move and how much of the load it sees. Computed off the thread for the chosen device; empty
 * until it is there for exactly the document shown, and while a drag shows another.
 */
export function PairRoom({ disconnect, load, target }: Pick<PairReport, 'disconnect' | 'load' | 'target'>) {
  const said = useApp((s) => (s.preview === null && s.margins?.revision === s.revision && s.margins.margins === disconnect
    ? s.margins.said.find((m) => m.load === load && m.target === target) : undefined));
  return <p className="pair-room">{said ? `${said.room}; ${said.seen}` : ''}</p>;
}
