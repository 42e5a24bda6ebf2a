import { useMemo, useState } from 'react';
import { store } from '../state/store';
import { checkName, words } from '../text/index';
import { PickList } from './pick-list';
import { countOpen, subjectIds, worstFirst } from './step-states';
import { StatusMark } from './status-mark';
import { uiStore } from './ui-store';
import { useApp } from './use-app';

/** All findings, worst first. Choosing one selects and reveals what it is about; the first remedy stands beneath it. */
export function FindingsList() {
  const document = useApp((s) => s.document);
  const audit = useApp((s) => s.audit?.audit ?? null);
  const [chosen, setChosen] = useState<string | null>(null);
  const [showPassed, setShowPassed] = useState(false);
  const sorted = useMemo(() => worstFirst(audit?.results ?? []), [audit]);
  const passed = audit?.counts.pass ?? 0;
  const shown = showPassed ? sorted : sorted.filter((r) => r.verdict !== 'pass');
  const open = countOpen(sorted);
  const show = (id: string): void => {
    setChosen(id);
    const result = sorted.find((r) => r.id === id);
    if (!result) return;
    const ids = subjectIds(result, document);
    const first = document.entities[result.subject.disconnect ?? ids[0] ?? ''];
    const { sheet, showSheet, select, revealIds, setPair } = store.getState();
    const wanted = first?.sheet ?? result.subject.sheet;
    if (wanted !== undefined && wanted !== sheet && document.sheets.some((s) => s.id === wanted)) showSheet(wanted);
    select(ids.slice(0, 1));
    if (ids.length > 0) revealIds(ids);
    const pair = audit?.pairs.find((p) => p.result.id === id);
    if (pair) setPair({ disconnect: pair.disconnect, load: pair.load, target: pair.target });
  };
  const go = (id: string): void => {
    show(id);
    // An amendment stands on no sheet: its place is the dialog.
    if (id.startsWith('data/amendment/')) uiStore.getState().openDialog('facts');
  };
  const items = shown.map((result) => ({
    id: result.id, label: `${words.verdict[result.verdict]}: ${result.title}`, group: words.verdict[result.verdict],
    body: (
      <div className="finding-row">
        <StatusMark verdict={result.verdict} size={17} />
        <div>
          <p className="finding-title">{result.title}</p>
          {result.missing.length > 0 && <p className="finding-note">{words.chosen.missing(result.missing)}</p>}
          {result.remedies[0] !== undefined && <p className="finding-note">{result.remedies[0]}</p>}
        </div>
        <span className="finding-check">{checkName(result.check)}</span>
      </div>
    ),
  }));
  return (
    <section className="list-pane" aria-label={words.findings.title}>
      <header className="pane-head">
        <h2>{words.findings.title}</h2>
        <span className="pane-count">{audit ? `${open.mend + open.decide + open.supply + open.measure} ${words.findings.open}` : words.findings.waiting}</span>
        <button type="button" className="quiet" aria-pressed={showPassed} onClick={() => { setShowPassed(!showPassed); }}>{showPassed ? words.findings.hidePassed : words.findings.showPassed(passed)}</button>
      </header>
      <PickList label={words.findings.title} items={items} chosen={chosen} onChoose={show} onGo={go} empty={audit ? (passed > 0 ? words.findings.nothingOpen : words.findings.empty) : words.findings.waiting} />
    </section>
  );
}
