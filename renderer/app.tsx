import { CSPProvider } from '@base-ui/react/csp-provider';
import { useEffect } from 'react';
import { keepRevisionTrue } from './revision/index';
import { store } from './state/store';
import { words } from './text/index';
import { suggestionStore } from './state/suggestion';
import { startAuditing } from './worker/index';
import { startSuggesting } from './worker/suggest';
import { Dialogs } from './panels/dialogs';
import { FootLine } from './panels/foot-line';
import { JobRail } from './panels/job-rail';
import { listenForKeys } from './panels/keys';
import { listenForMenu } from './panels/menu-commands';
import { Notices } from './panels/notices';
import { dropFile } from './panels/drop-file';
import { keepRecovery, startWindow } from './panels/project-actions';
import { SheetArea } from './panels/sheet-area';
import { SidePanel } from './panels/side-panel';
import { StepTools } from './panels/step-tools';
import { useUi } from './panels/ui-store';
import { useApp } from './panels/use-app';
import './app.css';
import './panels/panels.css';
import './panels/print.css';

let started = false;

/** The one window: rail, tool bar, sheet, side panel, elevation and foot line. */
export function App() {
  const name = useApp((s) => s.document.facts.name);
  const version = useUi((s) => s.version);
  const changed = useApp((s) => s.revision !== s.savedRevision);
  useEffect(() => {
    // Once per window, also where React runs effects twice.
    if (!started) { started = true; void startWindow(); }
    const stops = [listenForKeys(), listenForMenu(), keepRecovery(), startAuditing(store), startSuggesting(store, suggestionStore), keepRevisionTrue()];
    return () => { for (const stop of stops) stop(); };
  }, []);
  useEffect(() => { document.title = `${changed ? '• ' : ''}${name} – ${words.program}`; }, [name, changed]);
  useEffect(() => {
    const warn = (event: BeforeUnloadEvent): void => { if (changed) event.preventDefault(); };
    window.addEventListener('beforeunload', warn);
    return () => { window.removeEventListener('beforeunload', warn); };
  }, [changed]);
  return (
    <CSPProvider disableStyleElements>
      <div className="window" onDragOver={(event) => { event.preventDefault(); }} onDrop={(event) => { event.preventDefault(); dropFile(event.dataTransfer); }}>
        <JobRail title={words.title(version, name)} />
        <StepTools />
        <SheetArea />
        <SidePanel />
        <FootLine />
        <Notices />
        <Dialogs />
      </div>
    </CSPProvider>
  );
}
