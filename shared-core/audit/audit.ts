import type { Result, Verdict } from '../code-data/index';
import type { PairReport } from '../checks/index';
import type { Id } from '../document/index';
import type { DeviceSizing } from '../sizing/index';

/** The whole truth about a project at one revision: what the screen, the PDF, the tables and the command line read. */
export interface Audit {
  /** Every result, worst first, then in sheet and tag order. */
  readonly results: readonly Result[];
  readonly pairs: readonly PairReport[];
  readonly sizing: Readonly<Record<Id, DeviceSizing>>;
  /** The worst verdict of each disconnect (sight, reach, room and sizing together). */
  readonly deviceVerdicts: Readonly<Record<Id, Verdict>>;
  readonly counts: Readonly<Record<Verdict, number>>;
}
