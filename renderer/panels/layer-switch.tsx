import { useState } from 'react';
import { useStore } from 'zustand';
import type { PlanRef, Sheet } from '../../shared-core/document/index';
import { layersOfPlan, planLayers } from '../plan/index';
import { sheetWords } from '../text/index';
import { FlagField } from './fields';
import { Section } from './section';
import { changeSheet } from './sheet-tabs';
import './sheets.css';

/** A drawing of more layers than this is searched. */
const FEW = 12;

function setLayersOff(sheet: Sheet, plan: PlanRef, name: string, layersOff: readonly string[] | undefined): void {
  const { layersOff: _, ...rest } = plan;
  changeSheet(sheet.id, name, { plan: layersOff ? { ...rest, layersOff } : rest });
}

/** The layers of the sheet's plan, each to be shown or hidden: one edit each, kept with the sheet. Nothing where the plan has none. */
export function LayerSwitch({ sheet, plan }: { sheet: Sheet; plan: PlanRef }) {
  const known = useStore(planLayers, (s) => s.known);
  const [search, setSearch] = useState('');
  const layers = layersOfPlan(known, plan);
  if (!layers || layers.length === 0) return null;
  const wanted = search.trim().toLowerCase();
  const found = wanted === '' ? layers : layers.filter(({ name }) => name.toLowerCase().includes(wanted));
  const hidden = layers.filter((layer) => !layer.visible);
  const show = (name: string, on: boolean): void => {
    const off = hidden.map((layer) => layer.name).filter((each) => each !== name);
    setLayersOff(sheet, plan, sheetWords.edits.layer(on, name, sheet.name), on ? off : [...off, name]);
  };
  return (
    <div className="layers is-wide">
      <Section title={sheetWords.layersTitle(hidden.length, layers.length)} open={layers.length <= FEW || hidden.length > 0}>
      {layers.length > FEW && <input type="search" className="layer-search" aria-label={sheetWords.findLayer} placeholder={sheetWords.findLayer} value={search} onChange={(event) => { setSearch(event.target.value); }} />}
      <div className="layer-list" role="group" aria-label={sheetWords.layers}>
        {found.map(({ name, visible }) => <FlagField key={name} label={name} value={visible} onCommit={(on) => { show(name, on); }} />)}
        {found.length === 0 && <p className="empty">{sheetWords.noLayer(search.trim())}</p>}
      </div>
      <p className="step-note">{sheetWords.layerNote}</p>
      <div className="actions">
        {hidden.length > 0 && <button type="button" className="chip" onClick={() => { setLayersOff(sheet, plan, sheetWords.edits.allLayers(sheet.name), []); }}>{sheetWords.showAllLayers}</button>}
        {plan.layersOff && <button type="button" className="chip" onClick={() => { setLayersOff(sheet, plan, sheetWords.edits.fileLayers(sheet.name), undefined); }}>{sheetWords.layersAsFile}</button>}
      </div>
      </Section>
    </div>
  );
}
