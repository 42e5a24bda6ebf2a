import { useStore } from 'zustand';
import { store } from '../state/store';
import type { Actions, State } from '../state/store';

/** Reads one thing from the store and draws again when it changes. */
export const useApp = <T>(select: (state: State & Actions) => T): T => useStore(store, select);
