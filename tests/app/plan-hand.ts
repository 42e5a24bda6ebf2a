import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { unpackProject } from '../../main/files/plan-file';
import type { Document, Entity, Point, Sheet } from '../../shared-core/document/index';
import { expect, ROOT } from './fixtures';

export const DEMO = join(ROOT, 'assets/demo/cider-works.lockstead');

export async function readProject(path: string): Promise<Document> {
  const read = unpackProject(new Uint8Array(await readFile(path)), 'project');
  if (!read.ok) throw new Error(read.problem.what);
  return read.value.document;
}

/** A hand on the plan of a window: knows where sheet positions lie while the whole sheet is shown, as it is on opening. */
export class PlanHand {
  constructor(readonly page: Page, readonly document: Document) {}

  get sheet(): Sheet { const [first] = this.document.sheets; if (!first) throw new Error('the project has no sheet'); return first; }
  get canvas() { return this.page.locator('.plan-canvas'); }
  get said() { return this.page.getByTestId('plan-said'); }
  get undo() { return this.page.locator('.undo button').first(); }

  /** The mark with this tag. */
  tagged(tag: string): Entity {
    const found = Object.values(this.document.entities).find((e) => 'tag' in e && e.tag === tag);
    if (!found) throw new Error(`nothing is called ${tag}`);
    return found;
  }

  /** Opens the sheet: notes waved away, plan and audit there. */
  async ready(): Promise<void> {
    await expect(this.canvas).toBeVisible();
    // The notes come with the first audit, and push the plan down.
    await expect(this.page.getByRole('button', { name: /^Findings (?!checking|not checked)/ })).toBeVisible();
    const away = this.page.getByRole('button', { name: 'Do not show these again' });
    if (await away.isVisible()) await away.click();
    await expect(away).toBeHidden();
  }

  async at(p: { x: number; y: number }): Promise<{ x: number; y: number }> {
    const box = await this.canvas.boundingBox();
    if (!box) throw new Error('the plan is not shown');
    const zoom = Math.min((box.width - 72) / this.sheet.width, (box.height - 72) / this.sheet.height);
    return { x: box.x + box.width / 2 + (p.x - this.sheet.width / 2) * zoom, y: box.y + box.height / 2 + (p.y - this.sheet.height / 2) * zoom };
  }

  /** A sheet position so many feet right and down of another. */
  feetFrom(p: Point, right: number, down: number): { x: number; y: number } {
    const perUnit = this.sheet.scale?.feetPerUnit ?? 1;
    return { x: p.x + right / perUnit, y: p.y + down / perUnit };
  }

  async click(p: { x: number; y: number }): Promise<void> { const { x, y } = await this.at(p); await this.page.mouse.click(x, y); }
  async moveTo(p: { x: number; y: number }): Promise<void> { const { x, y } = await this.at(p); await this.page.mouse.move(x, y, { steps: 8 }); }

  placeOf(tag: string): Point {
    const mark = this.tagged(tag);
    if (!('at' in mark) || !mark.at) throw new Error(`${tag} has no place`);
    return mark.at;
  }
}
