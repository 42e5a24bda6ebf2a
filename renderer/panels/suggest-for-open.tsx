import { useMemo } from 'react';
import { words } from '../text/index';
import { chooseLoadsToSuggestFor, openLoads, servedLoads } from './suggest-actions';
import { useApp } from './use-app';

/** Offers disconnects for the placed loads that have none; where all have one, to plan them anew. */
export function SuggestForOpen() {
  const document = useApp((s) => s.document);
  const open = useMemo(() => openLoads(document), [document]);
  const served = useMemo(() => servedLoads(document), [document]);
  if (open.length === 0 && served.length === 0) return null;
  return <button type="button" className="chip" onClick={() => { chooseLoadsToSuggestFor(open); }}>{open.length > 0 ? words.suggest.forOpen(open.length) : words.suggest.anew}</button>;
}
