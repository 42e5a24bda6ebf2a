import { readdir, readFile, truncate, unlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openRecovery, UNTITLED } from '../../main/files/recovery';
import { renamed, scratchFolder, smallProject } from './scratch';

describe('unsaved work', () => {
  it('comes back whole, with its plans, in another process', async () => {
    const folder = await scratchFolder();
    const { document, plans } = smallProject();
    const kept = await openRecovery(folder).keep({ key: 'works', name: 'Works', base: 'abc', document, plans });
    const found = await openRecovery(folder).find('works');
    expect(found).toMatchObject({ key: 'works', name: 'Works', base: 'abc', savedAt: kept.ok && kept.value.savedAt });
    expect(found?.document).toEqual(document);
    expect(found?.plans).toEqual(plans);
  });

  it('cut off at any byte counts for nothing', async () => {
    const folder = await scratchFolder();
    const { document, plans } = smallProject();
    const recovery = openRecovery(folder);
    await recovery.keep({ key: 'works', name: 'Works', base: null, document, plans });
    const path = join(folder, 'works.journal');
    const whole = await readFile(path);
    for (let length = 0; length < whole.length; length += 13) {
      await writeFile(path, whole);
      await truncate(path, length);
      expect(await recovery.find('works')).toBeNull();
    }
    await writeFile(path, whole);
    expect(await recovery.find('works')).not.toBeNull();
  });

  it('with another document put in, or its plan damaged, counts for nothing', async () => {
    const folder = await scratchFolder();
    const { document, plans } = smallProject();
    const recovery = openRecovery(folder);
    await recovery.keep({ key: 'works', name: 'Works', base: null, document, plans });
    const path = join(folder, 'works.journal');
    const text = await readFile(path, 'utf8');
    await writeFile(path, text.replace('Press hall', 'Press shed'));
    expect(await recovery.find('works')).toBeNull();
    await writeFile(path, text);
    await writeFile(join(folder, 'plans', [...plans.keys()][0] ?? ''), 'other bytes');
    expect(await recovery.find('works')).toBeNull();
  });

  it('of never saved projects is found, the latest first', async () => {
    const folder = await scratchFolder();
    let clock = 0;
    const recovery = openRecovery(folder, () => new Date(Date.UTC(2024, 0, 1, 0, clock++)));
    const { document, plans } = smallProject();
    for (const [i, key] of ['b', 'c', 'a'].entries()) await recovery.keep({ key: `${UNTITLED}${key}`, name: `${i}`, base: null, document: renamed(document, key), plans });
    await recovery.keep({ key: 'works', name: 'Works', base: null, document, plans });
    expect((await recovery.findUntitled())?.document.facts.name).toBe('a');
  });

  it('once dropped takes its plans along, save those another project needs', async () => {
    const folder = await scratchFolder();
    const recovery = openRecovery(folder);
    const one = smallProject('one'); const two = smallProject('two');
    await recovery.keep({ key: 'one', name: 'one', base: null, ...one });
    await recovery.keep({ key: 'two', name: 'two', base: null, ...two });
    await recovery.drop('one');
    expect(await readdir(join(folder, 'plans'))).toEqual([...two.plans.keys()]);
    expect(await recovery.find('one')).toBeNull();
    // The plan is written again when it is needed again.
    await recovery.keep({ key: 'one', name: 'one', base: null, ...one });
    expect((await recovery.find('one'))?.plans).toEqual(one.plans);
  });

  it('writes a plan again that was taken away meanwhile', async () => {
    const folder = await scratchFolder();
    const recovery = openRecovery(folder);
    const { document, plans } = smallProject();
    await recovery.keep({ key: 'works', name: 'Works', base: null, document, plans });
    await unlink(join(folder, 'plans', [...plans.keys()][0] ?? ''));
    await recovery.keep({ key: 'works', name: 'Works', base: null, document: renamed(document, 'later'), plans });
    expect((await openRecovery(folder).find('works'))?.document.facts.name).toBe('later');
  });

  it('never leaves its folder, whatever the key', async () => {
    const recovery = openRecovery(await scratchFolder());
    await expect(recovery.find('../../etc/passwd')).rejects.toThrow(RangeError);
  });
});
