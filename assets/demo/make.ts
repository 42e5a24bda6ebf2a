import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { makeDemo } from './demo';

// `npm run demo`: draws the works again and writes the plan, its scan and the project.
const folder = new URL('.', import.meta.url).pathname;
const demo = await makeDemo(async (name) => new Uint8Array(await readFile(`${folder}../fonts/${name}`)));
await mkdir(folder, { recursive: true });
for (const [name, bytes] of Object.entries(demo.files)) {
  await writeFile(`${folder}${name}`, bytes);
  console.log(`${name}: ${(bytes.length / 1024).toFixed(0)} kB`);
}
