import { offerList } from './list-import';
import { offerPlan } from './plan-intake';
import { openProject } from './project-actions';
import { uiStore } from './ui-store';

/** A file dropped anywhere on the window: a project is opened, a table is offered as an equipment list, anything else as a plan. */
export function dropFile(transfer: DataTransfer): void {
  const file = transfer.files[0];
  if (!file) return;
  if (file.name.toLowerCase().endsWith('.lockstead')) void openProject(file);
  else if (uiStore.getState().dialog === 'list' || /\.(csv|tsv|txt|xlsx)$/i.test(file.name)) void offerList(file);
  else void offerPlan(file);
}
