import type { Verdict } from '../../shared-core/code-data/index';
import type { PairReport } from '../../shared-core/checks/index';
import type { Document, Id } from '../../shared-core/document/index';
import { nameOf } from '../tools/naming';
import { showPair } from './shown-sight';
import type { Audit } from '../../shared-core/audit/index';

export interface Announced {
  readonly document: Document;
  readonly preview: Document | null;
  readonly selection: readonly Id[];
  readonly live: { readonly of: Document; readonly disconnects: readonly Id[]; readonly pairs: readonly PairReport[] } | null;
  readonly audit: { readonly audit: Audit; readonly of: Document | null } | null;
}

/**
 * What a person who cannot see the plan must hear about the chosen or dragged mark: its name, and for a disconnect each
 * load's verdict with the distance. Says nothing it does not know for the document shown.
 */
export function announcement({ document, preview, selection, live, audit }: Announced): string {
  const shown = preview ?? document;
  if (selection.length === 0) return '';
  if (selection.length > 1) return `${selection.length} marks chosen`;
  const only = selection[0] === undefined ? undefined : shown.entities[selection[0]];
  if (!only) return '';
  const pairs = pairsAbout(only.id, shown, live, audit);
  if (pairs === null) return nameOf(only);
  if (pairs.length === 0) return only.kind === 'disconnect' ? `${only.tag}: serves nothing yet` : nameOf(only);
  const said = pairs.map((pair) => {
    const other = shown.entities[only.kind === 'disconnect' ? pair.load : pair.disconnect];
    const line = showPair(pair, shown);
    const text = line?.text ?? '';
    if (!line || line.settledBy) return `${other ? nameOf(other) : ''} ${WORDS[pair.verdict]}: ${pair.result.title}`;
    return `${other ? nameOf(other) : ''} ${WORDS[pair.verdict]}${text ? `, ${text}` : ''}`;
  });
  return `${nameOf(only)}: ${[...new Set(said)].join('; ')}`;
}

const WORDS: Readonly<Record<Verdict, string>> = { pass: 'pass', marginal: 'marginal', fail: 'fail', judgement: 'judgement', incomplete: 'incomplete' };

/** null: not known for what is shown. */
function pairsAbout(id: Id, shown: Document, live: Announced['live'], audit: Announced['audit']): readonly PairReport[] | null {
  if (live?.of === shown && (live.disconnects.includes(id) || live.pairs.some((p) => p.load === id))) return live.pairs.filter((p) => p.disconnect === id || p.load === id);
  if (audit?.of === shown) return audit.audit.pairs.filter((p) => p.disconnect === id || p.load === id);
  return null;
}
