import { Gap, Trace } from '../code-data/index';
import type { Disconnect, Document, Load } from '../document/index';
import { asWritten } from './figure-text';
import { circuitOf, currentOf, lockedOf, partsOf } from './load';
import { checkLoadData } from './plausible';
import { projectOf } from './project';

/**
 * What each part of a machine lacks or contradicts, in the order of its parts: null where its running and its locked-rotor
 * current are known. The results of the disconnect stop at the first such part; this names them all, without the part's own name.
 * @param device the disconnect that serves the machine; undefined when none does
 */
export function partFaults(document: Document, load: Load, device: Disconnect | undefined): readonly (string | null)[] {
  const project = projectOf(document);
  const at: Disconnect = device ?? { kind: 'disconnect', id: '', sheet: load.sheet, tag: '', at: load.at ?? { x: 0, y: 0 } as Disconnect['at'], handleHeight: load.standing, standing: load.standing, facing: 0, mount: null, serves: [load.id], data: {} };
  return partsOf([load]).map((part) => {
    const trace = new Trace({ edition: document.facts.edition, overrides: document.facts.overrides });
    try {
      checkLoadData(part.tag, part.data);
      const circuit = circuitOf(trace, project, at, part);
      lockedOf(trace, part, circuit, currentOf(trace, part, circuit));
      return null;
    } catch (error) {
      if (error instanceof Gap) return asWritten(error.reason.startsWith(part.tag) ? error.reason.slice(part.tag.length).replace(/^[:,]?\s+/, '') : error.reason);
      throw error;
    }
  });
}
