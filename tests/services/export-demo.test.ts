import { readFile } from 'node:fs/promises';
import sharp from 'sharp';
import { describe, expect, it, vi } from 'vitest';
import { makeDemo } from '../../assets/demo/demo';
import { toScan } from '../../assets/demo/scan';
import { BODIES, WALLS } from '../../assets/demo/works';
import { entitiesOf, planDistance } from '../../shared-core/document/index';
import { auditDocument } from '../../shared-core/audit/index';
import { VERDICT_ORDER } from '../../shared-core/code-data/index';
import { unpackProject } from '../../main/files/plan-file';

// Whole files are drawn and read back: on a busy machine that takes its time.
vi.setConfig({ testTimeout: 180_000, hookTimeout: 180_000 });

const root = new URL('../../assets/', import.meta.url).pathname;
const makeAnew = (): ReturnType<typeof makeDemo> => makeDemo(async (name) => new Uint8Array(await readFile(`${root}fonts/${name}`)));
let made: ReturnType<typeof makeDemo> | undefined;
const make = (): ReturnType<typeof makeDemo> => (made ??= makeAnew());

describe('the demo works', () => {
  it('come out with the same bytes every time, and small enough to ship', async () => {
    const [first, second] = [await make(), await makeAnew()];
    for (const [name, bytes] of Object.entries(first.files)) {
      expect(Buffer.compare(bytes, second.files[name] ?? new Uint8Array()), name).toBe(0);
      expect(bytes.length, name).toBeLessThan(2.5e6);
    }
  });

  it('stand in the project file as the script makes them', async () => {
    const [demo, stored] = [await make(), unpackProject(new Uint8Array(await readFile(`${root}demo/cider-works.lockstead`)), 'cider-works.lockstead')];
    if (!stored.ok) throw new Error(stored.problem.what);
    // The picture's last bits may differ between processors; everything else may not.
    const withoutBlob = (d: typeof demo.document): unknown => ({ ...d, sheets: d.sheets.map((s) => ({ ...s, plan: s.plan ? { ...s.plan, blob: '' } : null })) });
    expect(withoutBlob(stored.value.document)).toEqual(withoutBlob(demo.document));
    expect(entitiesOf(stored.value.document, 'load')).toHaveLength(16);
    expect(entitiesOf(stored.value.document, 'load').filter((l) => l.at === null)).toHaveLength(1);
    expect(entitiesOf(stored.value.document, 'disconnect')).toHaveLength(14);
    for (const kind of ['wall', 'obstruction', 'area', 'machine', 'controller', 'supply'] as const) expect(entitiesOf(stored.value.document, kind).length, kind).toBeGreaterThan(0);
  });

  it('keep the drawing scale: the picked columns are 96 ft apart on the ground', async () => {
    const { document } = await make();
    const scale = document.sheets[0]?.scale;
    if (!scale) throw new Error('the demo sheet has no scale');
    expect(planDistance(toScan([4, 4]), toScan([100, 4])) * scale.feetPerUnit).toBeCloseTo(96, 0);
    expect(Math.abs(planDistance(toScan([4, 4]), toScan([100, 4])) * scale.feetPerUnit - 96) / 96).toBeLessThan(scale.relativeUncertainty);
    // 200 dots an inch, 8 ft an inch.
    expect(1 / scale.feetPerUnit).toBeCloseTo(25, 0);
  });

  it('show each of the five verdicts, each fault at the device it was built into', async () => {
    const { document } = await make();
    const audit = auditDocument(document);
    const verdicts = Object.fromEntries(entitiesOf(document, 'disconnect').map((d) => [d.tag, audit.deviceVerdicts[d.id]]));
    expect(verdicts).toMatchObject({ 'DS-01': 'pass', 'DS-05': 'fail', 'DS-07': 'fail', 'DS-08': 'marginal', 'DS-10': 'judgement', 'DS-11': 'fail', 'DS-12': 'fail', 'DS-13': 'fail', 'DS-14': 'incomplete' });
    expect(new Set(Object.values(verdicts))).toEqual(new Set(VERDICT_ORDER));
    const fails = (tag: string): string => audit.results.filter((r) => r.verdict === 'fail' && r.subject.disconnect === `disconnect-${tag.toLowerCase()}`).map((r) => r.title).join(' | ');
    expect(fails('DS-05')).toContain('T-5');
    expect(fails('DS-07')).toContain('Type 1');
    expect(fails('DS-11')).toMatch(/51'-\d/);
    expect(fails('DS-12')).toContain('wall');
    expect(fails('DS-13')).toContain('30 A');
  });

  it('lie on the scan where the scan shows them', async () => {
    const { files } = await make();
    const { data, info } = await sharp(Buffer.from(files['cider-works-scan.jpg'] ?? [])).greyscale().raw().toBuffer({ resolveWithObject: true });
    expect([info.width, info.height]).toEqual([3400, 2200]);
    const grey = (x: number, y: number): number => data[Math.round(y) * info.width + Math.round(x)] ?? 255;
    for (const wall of WALLS.filter((w) => w.material === 'opaque')) for (let i = 0; i + 1 < wall.points.length; i += 1) {
      const [a, b] = [wall.points[i], wall.points[i + 1]] as [readonly [number, number], readonly [number, number]];
      const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
      const free = Array.from({ length: 20 }, (_, k) => ((k + 0.5) / 20) * length).filter((t) => !wall.openings.some((o) => o.segment === i && t > o.from - 0.3 && t < o.to + 0.3));
      for (const t of free) { const p = toScan([a[0] + ((b[0] - a[0]) * t) / length, a[1] + ((b[1] - a[1]) * t) / length]); expect(grey(p.x, p.y), `${wall.id} at ${t}`).toBeLessThan(150); }
    }
    for (const tank of BODIES.filter((b) => b.round)) { const p = toScan(tank.outline[3] ?? [0, 0]); const near = [-2, -1, 0, 1, 2].map((d) => grey(p.x + d, p.y + d)); expect(Math.min(...near), tank.label).toBeLessThan(150); }
  });
});
