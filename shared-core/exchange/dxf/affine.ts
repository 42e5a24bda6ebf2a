export type Vector = readonly [number, number, number];

/** A linear map of space and a shift; columns are where the axes go. */
export interface Affine { readonly x: Vector; readonly y: Vector; readonly z: Vector; readonly at: Vector }

export const IDENTITY: Affine = { x: [1, 0, 0], y: [0, 1, 0], z: [0, 0, 1], at: [0, 0, 0] };

const turn = (m: Affine, [x, y, z]: Vector): Vector => [
  m.x[0] * x + m.y[0] * y + m.z[0] * z, m.x[1] * x + m.y[1] * y + m.z[1] * z, m.x[2] * x + m.y[2] * y + m.z[2] * z,
];
/** Where a point goes. */
export const apply = (m: Affine, point: Vector): Vector => {
  const [x, y, z] = turn(m, point);
  return [x + m.at[0], y + m.at[1], z + m.at[2]];
};
/** Where a direction goes; the shift does not touch it. */
export const applyDirection = turn;
/** First `inner`, then `outer`. */
export const compose = (outer: Affine, inner: Affine): Affine => ({ x: turn(outer, inner.x), y: turn(outer, inner.y), z: turn(outer, inner.z), at: apply(outer, inner.at) });

const cross = (a: Vector, b: Vector): Vector => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const unit = (v: Vector): Vector | null => {
  const length = Math.hypot(...v);
  return length > 0 && Number.isFinite(length) ? [v[0] / length, v[1] / length, v[2] / length] : null;
};

/** Below this a normal counts as parallel to z when its x axis is chosen (DXF reference, "Arbitrary Axis Algorithm"). */
const NEAR_Z = 1 / 64;

/** The plane that a flat entity was drawn in, from its extrusion direction. */
export function planeOf(extrusion: Vector): Affine {
  const z = unit(extrusion);
  if (!z || (z[0] === 0 && z[1] === 0 && z[2] === 1)) return IDENTITY;
  const x = unit(Math.abs(z[0]) < NEAR_Z && Math.abs(z[1]) < NEAR_Z ? cross([0, 1, 0], z) : cross([0, 0, 1], z))!;
  return { x, y: cross(z, x), z, at: [0, 0, 0] };
}

/** Scale, then turn (radians, counter-clockwise), then shift: how a block is inserted. */
export function placement(scale: Vector, angle: number, at: Vector): Affine {
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  return { x: [scale[0] * cos, scale[0] * sin, 0], y: [-scale[1] * sin, scale[1] * cos, 0], z: [0, 0, scale[2]], at };
}
