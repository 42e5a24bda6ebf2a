/** Cases whose answers are formulas. */
export function checkClosedForms(file: string, cases: readonly { kind: string; name: string }[], total: { passed: number; failed: number }): void {
  for (const item of cases) {
    total.failed += 1;
    console.log(`${file} ${item.name}: no check for the kind '${item.kind}' yet`);
  }
}
