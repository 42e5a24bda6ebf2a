import { useMemo } from 'react';
import { words } from '../text/index';
import { chooseLoadsToSuggestFor, openLoads } from './suggest-actions';
import { useApp } from './use-app';

/** Offers disconnects for the placed loads that have none; nothing where all have one. */
export function SuggestForOpen() {
  const document = useApp((s) => s.document);
  const open = useMemo(() => openLoads(document), [document]);
  return open.length === 0 ? null : <button type="button" className="chip" onClick={() => { chooseLoadsToSuggestFor(open); }}>{words.suggest.forOpen(open.length)}</button>;
}
