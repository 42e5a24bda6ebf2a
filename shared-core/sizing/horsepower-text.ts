/**
 * Horsepower as the trade writes it: '7 1/2', '7-1/2', '7½', '1/3', '25', '7.5'.
 * @returns the number, or null when the text is none
 */
export function readHorsepower(text: string): number | null {
  const plain = text.trim().replace(/¼/g, ' 1/4').replace(/½/g, ' 1/2').replace(/¾/g, ' 3/4').trim();
  const match = /^(?:(\d+(?:[.,]\d+)?)(?:[\s-]+(\d+)\/(\d+))?|(\d+)\/(\d+))$/.exec(plain);
  if (!match) return null;
  const [, whole, over, under, top, bottom] = match;
  if (top !== undefined) return Number(bottom) === 0 ? null : Number(top) / Number(bottom);
  const fraction = over === undefined ? 0 : Number(over) / Number(under);
  return Number.isFinite(fraction) ? Number((whole ?? '').replace(',', '.')) + fraction : null;
}

/** '7 1/2' for 7.5: the way motor plates show fractions; other numbers stay decimal. */
export function showHorsepower(horsepower: number): string {
  const whole = Math.floor(horsepower + 1e-6);
  const rest = horsepower - whole;
  for (const [top, bottom] of [[1, 8], [1, 6], [1, 4], [1, 3], [1, 2], [3, 4]] as const) {
    if (Math.abs(rest - top / bottom) < 0.004) return whole === 0 ? `${top}/${bottom}` : `${whole} ${top}/${bottom}`;
  }
  return Math.abs(rest) < 1e-6 ? String(whole) : String(Number(horsepower.toFixed(3)));
}
