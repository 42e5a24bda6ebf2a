import { createStore } from 'zustand/vanilla';
import { useStore } from 'zustand';
import type { Id } from '../../shared-core/document/index';

/** A dialog asks for what cannot be typed in place; at most one is open. */
export type DialogId = 'open-plan' | 'list' | 'facts' | 'help' | 'leave';

/** What is to be recorded: why a place out of sight is accepted, or who holds the key of the room it is in. */
export interface ExceptionDraft { readonly disconnect: Id; readonly load: Id; readonly about: 'sight' | 'keys' }

/** What only the window knows and no project carries: open dialogs, pinned cards, what the lists show. */
export interface UiState {
  readonly dialog: DialogId | null;
  readonly exception: ExceptionDraft | null;
  /** Results whose derivation stays open beside the plan, by result id. */
  readonly pinned: readonly string[];
  /** Search text of the plan list; null when the step's own list shows. */
  readonly search: string | null;
  readonly deviceOrder: 'sheet' | 'worst';
  readonly elevationOpen: boolean;
  /** What the program is busy with; null when idle. */
  readonly busy: { readonly what: string; readonly done: number | null; readonly cancel: (() => void) | null } | null;
  readonly notesSeen: boolean;
  /** The project whose unsaved work was brought back and not yet saved. */
  readonly recovered: string | null;
  /** The program's own version, known once the services answered. */
  readonly version: string;
}

export interface UiActions {
  readonly openDialog: (dialog: DialogId | null) => void;
  readonly askException: (draft: ExceptionDraft | null) => void;
  readonly pin: (result: string) => void;
  readonly unpin: (result: string) => void;
  readonly setSearch: (search: string | null) => void;
  readonly setDeviceOrder: (order: UiState['deviceOrder']) => void;
  readonly setElevationOpen: (open: boolean) => void;
  readonly setBusy: (busy: UiState['busy']) => void;
  readonly waveNotesAway: () => void;
}

/** In a lower window the strip would leave too little of the sheet; it opens on request. */
const LOW_WINDOW = 620;
const NOTES_KEY = 'lockstead.notes-seen';
/** Storage may be refused (private window): then the notes simply show again. */
function readNotesSeen(): boolean { try { return globalThis.localStorage.getItem(NOTES_KEY) === 'yes'; } catch { return false; } }
function keepNotesSeen(): void { try { globalThis.localStorage.setItem(NOTES_KEY, 'yes'); } catch { /* shows again next time */ } }

export const uiStore = createStore<UiState & UiActions>()((set, get) => ({
  dialog: null, exception: null, pinned: [], search: null, deviceOrder: 'sheet', elevationOpen: (globalThis.innerHeight || LOW_WINDOW) >= LOW_WINDOW, busy: null, notesSeen: readNotesSeen(), recovered: null, version: '',
  openDialog: (dialog) => { set({ dialog }); },
  askException: (exception) => { set({ exception }); },
  pin: (result) => { if (!get().pinned.includes(result)) set({ pinned: [...get().pinned, result] }); },
  unpin: (result) => { set({ pinned: get().pinned.filter((id) => id !== result) }); },
  setSearch: (search) => { set({ search }); },
  setDeviceOrder: (deviceOrder) => { set({ deviceOrder }); },
  setElevationOpen: (elevationOpen) => { set({ elevationOpen }); },
  setBusy: (busy) => { set({ busy }); },
  waveNotesAway: () => { keepNotesSeen(); set({ notesSeen: true }); },
}));

export const useUi = <T>(select: (state: UiState & UiActions) => T): T => useStore(uiStore, select);
