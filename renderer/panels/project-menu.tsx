import { Menu } from '@base-ui/react/menu';
import { words } from '../text/index';
import { discardRecovery, exportAs, newProject, openProject, saveProject } from './project-actions';
import { useApp } from './use-app';
import { uiStore, useUi } from './ui-store';

const Item = ({ children, keys, onClick }: { children: string; keys?: string; onClick: () => void }) => (
  <Menu.Item className="menu-item" onClick={onClick}><span>{children}</span>{keys !== undefined && <kbd>{keys}</kbd>}</Menu.Item>
);

/** Name, revision and saved state at the rail's end; its menu holds what concerns the whole project. */
export function ProjectMenu() {
  const facts = useApp((s) => s.document.facts);
  const fileName = useApp((s) => s.project?.name);
  const changed = useApp((s) => s.revision !== s.savedRevision);
  const recovered = useUi((s) => s.recovered !== null);
  const open = useUi((s) => s.openDialog);
  const state = `${words.rail.revision(facts.revision)}, ${changed ? words.rail.notSaved : words.rail.saved}`;
  return (
    <Menu.Root>
      <Menu.Trigger className="project" aria-label={`${words.rail.project}: ${facts.name}, ${state}`} title={fileName}>
        <b>{facts.name}</b>
        <span data-asks={changed ? '' : undefined}>{state}</span>
      </Menu.Trigger>
      <Menu.Portal>
        <Menu.Positioner className="floating" align="end" sideOffset={4} collisionPadding={8}>
          <Menu.Popup className="menu">
            <Item keys="Ctrl+O" onClick={() => { void openProject(); }}>{words.project.open}</Item>
            <Item onClick={() => { void newProject(); }}>{words.project.fresh}</Item>
            <Item keys="Ctrl+S" onClick={() => { void saveProject(false); }}>{words.project.save}</Item>
            <Item keys="Ctrl+Shift+S" onClick={() => { void saveProject(true); }}>{words.project.saveAs}</Item>
            {recovered && <Item onClick={() => { void discardRecovery(); }}>{words.project.discard}</Item>}
            <Menu.Separator className="menu-line" />
            <Item onClick={() => { open('facts'); }}>{words.project.facts}</Item>
            <Item onClick={() => { open('open-plan'); }}>{words.project.addPlan}</Item>
            <Menu.Separator className="menu-line" />
            <Item keys="Ctrl+E" onClick={() => { void exportAs('pdf'); }}>{words.project.exportPdf}</Item>
            <Item onClick={() => { void exportAs('xlsx'); }}>{words.project.exportXlsx}</Item>
            <Item onClick={() => { void exportAs('csv'); }}>{words.project.exportCsv}</Item>
            <Menu.Separator className="menu-line" />
            <Item keys="?" onClick={() => { open('help'); }}>{words.project.help}</Item>
            <Item onClick={() => { uiStore.setState({ notesSeen: false }); }}>{words.project.notes}</Item>
          </Menu.Popup>
        </Menu.Positioner>
      </Menu.Portal>
    </Menu.Root>
  );
}
