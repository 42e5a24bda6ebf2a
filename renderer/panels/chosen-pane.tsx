import { words } from '../text/index';
import { DevicePane } from './device-pane';
import { LoadPane } from './load-pane';
import { MarkPane, SeveralPane } from './mark-pane';
import { useApp } from './use-app';

/** The pane of whatever is chosen. Keyed by id, so a half-typed field never lands on the next mark. */
export function ChosenPane() {
  const selection = useApp((s) => s.selection);
  const entity = useApp((s) => (selection.length === 1 ? s.document.entities[selection[0] ?? ''] : undefined));
  if (selection.length > 1) return <SeveralPane key={selection.join()} ids={selection} />;
  if (!entity) return <p className="empty">{words.chosen.nothing}</p>;
  if (entity.kind === 'disconnect') return <DevicePane key={entity.id} device={entity} />;
  if (entity.kind === 'load') return <LoadPane key={entity.id} load={entity} />;
  return <MarkPane key={entity.id} entity={entity} />;
}
