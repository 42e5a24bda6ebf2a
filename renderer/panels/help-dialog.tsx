import { words } from '../text/index';
import { Modal } from './modal';
import { TOOL_KEYS, TOOL_NAMES } from '../tools/keys';
import type { ToolId } from '../state/store';

/** The keys, on one sheet. */
export function HelpDialog({ open, onClose }: { open: boolean; onClose: () => void }) {
  const tools = (Object.keys(TOOL_KEYS) as ToolId[]).map((tool) => [TOOL_KEYS[tool], TOOL_NAMES[tool]] as const);
  return (
    <Modal open={open} title={words.help.title} wide onClose={onClose}>
      <div className="key-sheet">
        {[{ title: words.help.tools, rows: tools }, ...words.help.groups].map((group) => (
          <section key={group.title}>
            <h3 className="pane-title">{group.title}</h3>
            <dl>{group.rows.map(([keys, what]) => <div key={keys}><dt><kbd>{keys}</kbd></dt><dd>{what}</dd></div>)}</dl>
          </section>
        ))}
      </div>
    </Modal>
  );
}
