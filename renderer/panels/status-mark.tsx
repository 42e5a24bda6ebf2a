import type { Verdict } from '../../shared-core/code-data/index';
import { words } from '../text/index';

/** Shape first, colour second: disc, half disc, cross in a diamond, question in a square, dashed ring. */
export function StatusMark({ verdict, size = 16, named = false }: { verdict: Verdict; size?: number; named?: boolean }) {
  const label = named ? { role: 'img' as const, 'aria-label': words.verdict[verdict] } : { 'aria-hidden': true as const };
  return (
    <svg className={`status-mark is-${verdict}`} width={size} height={size} viewBox="0 0 16 16" {...label}>
      {verdict === 'pass' && <circle cx="8" cy="8" r="6" />}
      {verdict === 'marginal' && <><circle className="hollow" cx="8" cy="8" r="6" /><path d="M2 8a6 6 0 0 0 12 0z" /></>}
      {verdict === 'fail' && <><path d="M8 .8 15.2 8 8 15.2.8 8z" /><path className="cut" d="M5.6 5.6l4.8 4.8M10.4 5.6l-4.8 4.8" /></>}
      {verdict === 'judgement' && <><rect className="hollow" x="2" y="2" width="12" height="12" rx="1" /><path className="pen" d="M6 6.2a2 2 0 1 1 2.9 1.9c-.6.3-.9.6-.9 1.3M8 11.2v.6" /></>}
      {verdict === 'incomplete' && <circle className="dashed" cx="8" cy="8" r="6" />}
    </svg>
  );
}

/** Shape, word and colour together: how every status shows. */
export function Status({ verdict }: { verdict: Verdict }) {
  return <span className={`status is-${verdict}`}><StatusMark verdict={verdict} />{words.verdict[verdict]}</span>;
}
