/**
 * Signs that make a spreadsheet take a text cell for a formula when it opens a CSV file, with their full-width forms, and the
 * tab and line ends that some programs skip before looking (published advice on CSV injection, from memory).
 */
const LEADS_A_FORMULA = '[=+\\-@\\t\\r\\n\\uff1d\\uff0b\\uff0d\\uff20]';
const TO_GUARD = new RegExp(`^'*${LEADS_A_FORMULA}`);
const GUARDED = new RegExp(`^'(?='*${LEADS_A_FORMULA})`);

/** A text as it may stand in a CSV file: what could be run as a formula is led by one apostrophe. */
export const guardCell = (text: string): string => (TO_GUARD.test(text) ? `'${text}` : text);

/** Takes exactly the apostrophe of guardCell off again: unguardCell(guardCell(text)) is the text, whatever it holds. */
export const unguardCell = (text: string): string => text.replace(GUARDED, '');
