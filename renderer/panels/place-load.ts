import type { Id } from '../../shared-core/document/index';
import { store } from '../state/store';

/** Takes a waiting load in hand: the next click on the sheet places it. */
export function placeLoad(id: Id): void {
  const { setTool, setPlacing, select } = store.getState();
  select([id]);
  setTool('load');
  setPlacing(id);
}
