import type { PairReport, SaidMargin } from '../../shared-core/checks/index';
import { useApp } from './use-app';

type Pair = Pick<PairReport, 'disconnect' | 'load' | 'target'>;

/**
 * How far a pair's handle may move and how much of the load it sees. Computed off the thread for the chosen device; nothing
 * until it is there for exactly the document shown, and while a drag shows another.
 */
export const useSaidMargin = (pair: Pair | null): SaidMargin | undefined => useApp((s) => (pair !== null && s.preview === null && s.margins?.revision === s.revision && s.margins.margins === pair.disconnect
  ? s.margins.said.find((m) => m.load === pair.load && m.target === pair.target) : undefined));

/** The same as a sentence. */
export function PairRoom({ disconnect, load, target }: Pair) {
  const said = useSaidMargin({ disconnect, load, target });
  return <p className="pair-room">{said ? `${said.room}; ${said.seen}` : ''}</p>;
}
