import { createSuggester } from './suggester';
import type { SuggestRequest } from './suggester';

/** Suggestions off the window's thread. */
const take = createSuggester((answer) => { self.postMessage(answer); }, (run) => { setTimeout(run, 0); });
self.onmessage = (event: MessageEvent<SuggestRequest>): void => { take(event.data); };
