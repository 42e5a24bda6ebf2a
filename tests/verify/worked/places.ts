import { table, workingSpaceFigures, workingSpaceRow } from '../../../shared-core/code-data/index';
import type { SpaceCondition } from '../../../shared-core/code-data/index';
import { enclosureTypes, readConditions } from '../../../shared-core/sizing/enclosure';
import { lazy } from './inputs';
import type { Inputs, Topic } from './inputs';

const INCHES_PER_FOOT = 12;

const enclosure: Topic = (t, i) => {
  const place = i.textOr('location', 'indoor') === 'outdoor' ? 'outdoor' as const : 'indoor' as const;
  const pick = lazy(() => enclosureTypes(t, place, readConditions(i.texts('exposure'), place)));
  return { acceptable_includes: () => pick().acceptable, not_acceptable_includes: () => table('enclosure').rows.map((r) => String(r.type)).filter((type) => !pick().acceptable.includes(type)) };
};

/** The condition that what stands opposite means; 'any' where the words do not say. */
function conditionOf(i: Inputs): SpaceCondition | 'any' {
  const stated = i.textOr('opposite_class', i.textOr('opposite', ''));
  if (/^any$|not stated|^$/.test(stated)) return 'any';
  if (/exposed live|live parts$/.test(stated) && !/no live/.test(stated)) return 3;
  if (/^grounded|concrete|brick|block|tile|masonry|metal wall|finished wall/.test(stated)) return 2;
  if (/no live|drywall|gypsum|wood/.test(stated)) return 1;
  throw new Error(`what stands opposite is not known: '${stated}'`);
}

const workingSpace: Topic = (_t, i) => {
  const row = lazy(() => { const found = workingSpaceRow(i.number('voltage_to_ground_V')); if (!found) throw new Error('voltage outside the table'); return found; });
  const depth = lazy(() => { const condition = conditionOf(i); return condition === 'any' ? Math.max(row().depth[1], row().depth[2], row().depth[3]) : row().depth[condition]; });
  const width = workingSpaceFigures.width.value;
  return {
    condition: () => conditionOf(i), depth_ft: () => depth(), depth_in: () => depth() * INCHES_PER_FOOT, required_depth_in: () => depth() * INCHES_PER_FOOT, depth_ok: () => i.number('depth_available_in') >= depth() * INCHES_PER_FOOT,
    required_width_in: () => width, width_ok: () => i.number('width_available_in') >= width, shortfall_in: () => Math.max(0, depth() * INCHES_PER_FOOT - i.number('depth_available_in')),
  };
};

export const placeTopics: Readonly<Record<string, Topic>> = { enclosure, 'working-space': workingSpace };
