import { useEffect } from 'react';
import { useRevision } from '../state/revision';
import type { RevisionWork, Shown } from '../state/revision';
import { words } from '../text/index';
import { hold, show } from './actions';

const ORDER: readonly Shown[] = ['old', 'new', 'difference'];
const isTyping = (target: EventTarget | null): boolean => target instanceof HTMLElement && (target.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName));
/** Held down it shows the other plan; a letter no tool has. */
const HOLD_KEY = 'f';

/** Over the sheet while two plans are compared: which one shows, and a key to flick between them. */
export function CompareBar({ work }: { work: Extract<RevisionWork, { kind: 'comparing' }> }) {
  const held = useRevision((s) => s.held);
  useEffect(() => {
    const down = (event: KeyboardEvent): void => { if (event.key.toLowerCase() === HOLD_KEY && !event.ctrlKey && !event.metaKey && !event.altKey && !isTyping(event.target)) { event.preventDefault(); hold(true); } };
    const up = (event: KeyboardEvent): void => { if (event.key.toLowerCase() === HOLD_KEY) hold(false); };
    const blur = (): void => { hold(false); };
    // Before the plan itself hears the key.
    window.addEventListener('keydown', down, true); window.addEventListener('keyup', up, true); window.addEventListener('blur', blur);
    return () => { window.removeEventListener('keydown', down, true); window.removeEventListener('keyup', up, true); window.removeEventListener('blur', blur); hold(false); };
  }, []);
  const t = words.revision;
  // An earlier plan is older than the one it is laid beside: 'old' and 'new' would say the wrong thing.
  const names = work.pairs ? t : t.earlier;
  return (
    <div className="compare-bar" role="group" aria-label={t.compare}>
      <div className="compare-choice" role="radiogroup" aria-label={t.whichShows}>
        {ORDER.map((one, i) => (
          <button key={one} type="button" role="radio" aria-checked={work.shown === one} tabIndex={work.shown === one ? 0 : -1} className="tool" onClick={() => { show(one); }}
            onKeyDown={(event) => {
              const by = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
              const next = ORDER[(i + by + ORDER.length) % ORDER.length];
              if (by === 0 || !next) return;
              event.preventDefault(); event.stopPropagation();
              show(next);
              event.currentTarget.parentElement?.querySelectorAll<HTMLElement>('[role="radio"]')[ORDER.indexOf(next)]?.focus();
            }}>{names.shown[one]}</button>
        ))}
      </div>
      {work.shown === 'difference' && !held && <ul className="compare-key"><li><svg width="26" height="10" aria-hidden="true"><path className="key-gone" d="M1 5h24" /></svg>{names.gone}</li><li><svg width="26" height="10" aria-hidden="true"><path className="key-fresh" d="M1 5h24" /></svg>{names.fresh}</li></ul>}
      <button type="button" className="tool" aria-pressed={held} onPointerDown={() => { hold(true); }} onPointerUp={() => { hold(false); }} onPointerLeave={() => { hold(false); }}
        onKeyDown={(event) => { if (event.key === ' ' || event.key === 'Enter') { event.preventDefault(); hold(true); } }} onKeyUp={() => { hold(false); }} onBlur={() => { hold(false); }}><kbd>F</kbd>{t.hold}</button>
    </div>
  );
}
