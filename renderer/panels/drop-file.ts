import { openProject } from './project-actions';
import { offerPlan } from './plan-intake';

/** A file dropped anywhere on the window: a project is opened, anything else is offered as a plan. */
export function dropFile(transfer: DataTransfer): void {
  const file = transfer.files[0];
  if (!file) return;
  if (file.name.toLowerCase().endsWith('.lockstead')) void openProject(file);
  else void offerPlan(file);
}
