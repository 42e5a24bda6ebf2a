import type { LineReport, PairReport, SaidMargin } from '../../shared-core/checks/index';
import { showDistanceAgainst, showLength } from '../../shared-core/units/index';
import type { UnitSystem } from '../../shared-core/units/index';
import { words } from '../text/index';
import { useSaidMargin } from './pair-room';

/** The limit stands at this share of the bar; the rest shows how much too far a handle is. */
const LIMIT_AT = 0.86;

export interface SightBarShape {
  /** Shares of the bar's width, 0 to 1. */
  readonly tick: number;
  readonly band: readonly [number, number];
  /** Where the view stops on the way from the handle; null when nothing opaque stands in it. */
  readonly gapFrom: number | null;
  readonly limit: number;
  /** How far the handle may move either way before the verdict changes; null while it does not pass or nobody has worked it out. */
  readonly room: readonly [number, number] | null;
  readonly state: 'clear' | 'blocked' | 'doubtful';
}

const blockedAt = (line: LineReport | null): number | null => {
  const first = line?.state === 'blocked' ? line.meets.find((m) => m.transmission === 'opaque') ?? line.meets[0] : undefined;
  if (!line || !first) return null;
  const whole = Math.hypot(line.target.x - line.handle.x, line.target.y - line.handle.y);
  const part = Math.hypot(first.at.x - line.handle.x, first.at.y - line.handle.y);
  return whole > 0 ? Math.min(1, part / whole) : 0;
};

/** State of a pair's two lines together: blocked before doubtful before clear. */
export function viewState(pair: PairReport): SightBarShape['state'] | null {
  const states = [pair.eyeLine?.state, pair.bodyLine?.state];
  if (states.includes('blocked')) return 'blocked';
  if (states.includes('doubtful')) return 'doubtful';
  return states.every((s) => s === 'clear') ? 'clear' : null;
}

/** Where everything of a pair's ruler lies; null when the distance is not known. Far beyond the limit the ruler ends. */
export function sightBarShape(pair: PairReport, said?: SaidMargin): SightBarShape | null {
  if (pair.distance === null || !(pair.limit > 0)) return null;
  const share = (length: number): number => Math.max(0, Math.min(1, (length / pair.limit) * LIMIT_AT));
  const gaps = [blockedAt(pair.eyeLine), blockedAt(pair.bodyLine)].filter((g): g is number => g !== null);
  const tick = share(pair.distance);
  const margin = said && said.mayMove !== null ? said.margin.margin : null;
  return {
    tick, band: [share(pair.distance - pair.uncertainty), share(pair.distance + pair.uncertainty)], limit: LIMIT_AT,
    gapFrom: gaps.length > 0 ? Math.min(...gaps) * tick : null,
    room: margin === null ? null : [share(pair.distance - margin), share(pair.distance + margin)], state: viewState(pair) ?? 'doubtful',
  };
}

export function sightWords(pair: PairReport, system: UnitSystem): string {
  if (pair.distance === null) return words.devices.notPlaced;
  const state = viewState(pair);
  return words.sight.bar(showDistanceAgainst(pair.distance, pair.limit, system), showLength(pair.limit, system, { finest: 1 }), state ? words.sight[state] : words.sight.unknown);
}

const percent = (share: number): string => `${(share * 100).toFixed(2)}%`;

/** A pair as a ruler from 0 to its limit: a tick at the distance, a band for the uncertainty, a gap where the view is blocked, and a bracket as far as the handle may move. */
export function SightBar({ pair }: { pair: PairReport }) {
  const said = useSaidMargin(pair);
  const shape = sightBarShape(pair, said);
  return (
    <svg className={`sight-bar is-${pair.verdict}`} width="100%" height="12" aria-hidden="true">
      <line className="rule" x1="0" x2={percent(LIMIT_AT)} y1="6" y2="6" />
      <line className="rule end" x1={percent(LIMIT_AT)} x2={percent(LIMIT_AT)} y1="1" y2="11" />
      {shape && (
        <>
          <rect className="band" x={percent(shape.band[0])} width={percent(Math.max(0, shape.band[1] - shape.band[0]))} y="2" height="8" />
          <line className={shape.state === 'doubtful' ? 'run doubtful' : 'run'} x1="0" x2={percent(shape.gapFrom ?? shape.tick)} y1="6" y2="6" />
          {shape.gapFrom !== null && (
            <>
              <line className="bar" x1={percent(shape.gapFrom)} x2={percent(shape.gapFrom)} y1="2" y2="10" />
              <line className="beyond" x1={percent(shape.gapFrom)} x2={percent(shape.tick)} y1="6" y2="6" />
            </>
          )}
          <line className="tick" x1={percent(shape.tick)} x2={percent(shape.tick)} y1="1" y2="11" />
          {shape.room && (
            <g className="room">
              <line x1={percent(shape.room[0])} x2={percent(shape.room[1])} y1="12.5" y2="12.5" />
              {shape.room.map((end, i) => <line key={i} x1={percent(end)} x2={percent(end)} y1="9" y2="13" />)}
            </g>
          )}
        </>
      )}
    </svg>
  );
}
