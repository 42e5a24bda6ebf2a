import { Popover } from '@base-ui/react/popover';
import { Progress } from '@base-ui/react/progress';
import { words } from '../text/index';
import { useUi } from './ui-store';
import { useApp } from './use-app';

/** The cautions are always there; beside them what the program is busy with, and the edition everything is checked by. */
export function FootLine() {
  const busy = useUi((s) => s.busy);
  const facts = useApp((s) => s.document.facts);
  return (
    <footer className="foot">
      <p className="caution">{words.cautions.line}</p>
      <Popover.Root>
        <Popover.Trigger className="quiet">{words.foot.more}</Popover.Trigger>
        <Popover.Portal>
          <Popover.Positioner className="floating" side="top" align="start" sideOffset={6} collisionPadding={8}>
            <Popover.Popup className="card"><Popover.Title className="card-title">{words.foot.label}</Popover.Title><p>{words.cautions.line}</p><p>{words.cautions.more}</p></Popover.Popup>
          </Popover.Positioner>
        </Popover.Portal>
      </Popover.Root>
      {busy && (
        <Progress.Root className="busy" value={busy.done === null ? null : Math.round(busy.done * 100)} aria-label={busy.what}>
          <span>{busy.what}</span>
          <Progress.Track className="busy-track"><Progress.Indicator className="busy-run" /></Progress.Track>
          {busy.cancel && <button type="button" className="chip" onClick={busy.cancel}>{words.busy.cancel}</button>}
        </Progress.Root>
      )}
      <span className="edition">{words.foot.edition(facts.edition, facts.jurisdiction)}</span>
    </footer>
  );
}
