import { store } from '../state/store';
import type { StepId } from '../state/store';
import { words } from '../text/index';
import { ProjectMenu } from './project-menu';
import { stepStates } from './step-states';
import { uiStore } from './ui-store';
import { useApp } from './use-app';

/** The tool each step starts with; choosing a step never starts drawing by itself. */
export function chooseStep(step: StepId): void {
  const { setStep, setTool } = store.getState();
  setStep(step);
  setTool('select');
  uiStore.getState().setSearch(null);
}

export function JobRail({ title }: { title: string }) {
  const step = useApp((s) => s.step);
  const document = useApp((s) => s.document);
  const audit = useApp((s) => s.audit);
  const sheet = useApp((s) => s.sheet);
  const revision = useApp((s) => s.revision);
  const savedRevision = useApp((s) => s.savedRevision);
  const stale = audit !== null && audit.of !== document;
  const states = stepStates({ document, audit, sheet, revision, savedRevision });
  return (
    <header className="rail">
      <h1 className="off-screen">{title}</h1>
      <nav aria-label={words.rail.label}>
        <ol className="rail-steps">
          {states.map((s, index) => (
            <li key={s.id}>
              <button type="button" className="rail-step" aria-current={s.id === step ? 'step' : undefined} data-asks={s.asks ? '' : undefined} title={`${words.stepNames[s.id]}: ${s.state} (Alt+${index + 1})`}
                onClick={() => { chooseStep(s.id); }}>
                <b>{words.stepNames[s.id]}</b>
                <span>{s.id === 'findings' && stale ? words.rail.checking : s.state}</span>
              </button>
            </li>
          ))}
        </ol>
      </nav>
      <ProjectMenu />
    </header>
  );
}
