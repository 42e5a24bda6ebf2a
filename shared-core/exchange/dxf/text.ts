import { unescapeText } from './records';

const SIGNS: Readonly<Record<string, string>> = { d: '°', c: 'Ø', p: '±', '%': '%' };
/** %%d, %%c, %%p and %%nnn; %%u and %%o only switch lines on and off. */
const plainSigns = (text: string): string => unescapeText(text)
  .replace(/%%(\d{3})/g, (_all, code: string) => String.fromCharCode(Number(code)))
  .replace(/%%([dcp%])/gi, (_all, sign: string) => SIGNS[sign.toLowerCase()] ?? '')
  .replace(/%%[uok]/gi, '');

/** The words of a one-line text. */
export const lineOf = (text: string): string => plainSigns(text).trimEnd();

/** The lines of a many-line text, its formatting codes taken off. */
export function linesOf(text: string): string[] {
  const plain = unescapeText(text)
    .replace(/\\\\/g, '\u0001').replace(/\\\{/g, '\u0002').replace(/\\\}/g, '\u0003')
    .replace(/\\P|\\N|\\X|\^J/g, '\n').replace(/\\~/g, ' ').replace(/\^I/g, ' ')
    .replace(/\\S([^;]*);/g, (_all, stack: string) => stack.replace(/[\^#]/g, '/'))
    .replace(/\\[ACFHQTWpf][^;\\]*;/g, '').replace(/\\[LlOoKk]/g, '').replace(/[{}]/g, '')
    .replaceAll('\u0001', '\\').replaceAll('\u0002', '{').replaceAll('\u0003', '}');
  return plainSigns(plain).split('\n').map((line) => line.trimEnd());
}

/** Breaks lines at spaces so that none is longer than so many letters; 0 leaves them alone. */
export function wrapLines(lines: readonly string[], letters: number): string[] {
  if (!(letters > 1)) return [...lines];
  return lines.flatMap((line) => {
    const found: string[] = [];
    let current = '';
    for (const word of line.split(' ')) {
      if (current !== '' && current.length + 1 + word.length > letters) { found.push(current); current = word; }
      else current = current === '' ? word : `${current} ${word}`;
    }
    return [...found, current];
  });
}
