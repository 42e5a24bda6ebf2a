/** A stretch of work: progress runs from `from` to `to` in about so many seconds. */
export type Announce = (stage: { readonly note: string; readonly from: number; readonly to: number; readonly seconds: number }) => void;
