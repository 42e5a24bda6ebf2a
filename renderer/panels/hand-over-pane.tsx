import { words } from '../text/index';
import { exportAs } from './project-actions';
import { countOpen } from './step-states';
import { StatusMark } from './status-mark';
import { useApp } from './use-app';
import { VERDICT_ORDER } from '../../shared-core/code-data/index';

/** What leaves the program, and what is still open when it does: said, never hidden, never in the way. */
export function HandOverPane() {
  const audit = useApp((s) => s.audit?.audit ?? null);
  const facts = useApp((s) => s.document.facts);
  const shown = useApp((s) => s.sheet);
  const sheets = useApp((s) => s.document.sheets);
  const open = audit ? countOpen(audit.results) : null;
  const sheet = sheets.find((s) => s.id === shown);
  return (
    <section className="list-pane" aria-label={words.stepNames['hand-over']}>
      <header className="pane-head"><h2>{words.stepNames['hand-over']}</h2><span className="pane-count">{words.rail.revision(facts.revision)}</span></header>
      <div className="pane-body">
        {audit && <ul className="tally">{VERDICT_ORDER.map((verdict) => <li key={verdict}><StatusMark verdict={verdict} /><b>{audit.counts[verdict]}</b> {words.verdict[verdict]}<small>{words.verdictMeaning[verdict]}</small></li>)}</ul>}
        {open && open.mend + open.supply > 0 && <p className="asks">{words.handOver.open(open.mend + open.supply)}</p>}
        <ul className="exports">
          <li><button type="button" className="chip is-main" id="export-pdf" onClick={() => { void exportAs('pdf'); }}>{words.project.exportPdf}</button><p>{words.handOver.pdf}</p></li>
          {sheets.length > 1 && sheet && <li><button type="button" className="chip" onClick={() => { void exportAs('pdf', { sheets: [sheet.id] }); }}>{words.handOver.oneSheet(sheet.name)}</button></li>}
          {(['calculations', 'labels', 'isolation'] as const).map((section) => (
            <li key={section}><button type="button" className="chip" onClick={() => { void exportAs('pdf', { sections: [section] }); }}>{words.handOver.section[section].name}</button><p>{words.handOver.section[section].holds}</p></li>
          ))}
          <li><button type="button" className="chip" onClick={() => { void exportAs('xlsx'); }}>{words.project.exportXlsx}</button><p>{words.handOver.table}</p></li>
          <li><button type="button" className="chip" onClick={() => { void exportAs('csv'); }}>{words.project.exportCsv}</button></li>
        </ul>
      </div>
    </section>
  );
}
