/** The ground as paths of a picture: thinned to what can be seen, and no more of it than a page may weigh. */
import { thinned } from '../../../core/mapping/lines.ts';
import type { Point } from '../../../core/mapping/plane.ts';
import type { Position } from '../../../core/quantity/units.ts';
import type { Ground } from '../../../usecases/map-ground.ts';

export type GroundPath = { readonly look: string; readonly d: string };
export type GroundPlace = { readonly kind: string; readonly name: string; readonly at: Point };

/** Below this many units nothing of a bend is seen. */
const TOLERANCE = 0.5;
/** About 12 bytes each: a whole city's lanes are left out before its main streets are. */
const MAX_STREET_POINTS = 9000;

/** Streets from the widest to the narrowest; what is not named here is drawn as a path. */
const STREETS: { readonly [highway: string]: 'main' | 'middle' | 'lane' } = {
  motorway: 'main',
  trunk: 'main',
  primary: 'main',
  secondary: 'middle',
  tertiary: 'middle',
  unclassified: 'lane',
  residential: 'lane',
  living_street: 'lane',
  service: 'lane',
};
const RANKS = ['main', 'middle', 'lane', 'path'] as const;
const WATER = /^(river|water|lake|sea|canal|basin|pond|stream)$/;

export type Sheet = {
  readonly width: number;
  readonly height: number;
  readonly place: (position: Position) => Point;
};

export function layOutGround(
  ground: Ground,
  sheet: Sheet,
): { readonly paths: readonly GroundPath[]; readonly places: readonly GroundPlace[] } {
  const areas = ground.areas
    .map(({ kind, rings }) => ({
      look: WATER.test(kind) ? 'water' : kind === 'district' ? 'district' : 'area',
      d: rings.map((ring) => `${pathOf(thinned(ring.map(sheet.place), TOLERANCE))}Z`).join(''),
      isSeen: rings.some((ring) => isSeen(ring.map(sheet.place), sheet)),
    }))
    .filter((area) => area.isSeen);
  const lines = ground.lines.map(({ kind, line }) => ({
    look: WATER.test(kind) ? 'stream' : (STREETS[kind] ?? 'path'),
    points: line.map(sheet.place),
  }));
  const seen = lines.filter(({ points }) => isSeen(points, sheet));
  const streams = seen.filter(({ look }) => look === 'stream');
  let room = MAX_STREET_POINTS;
  const streets: GroundPath[] = [];
  for (const rank of RANKS) {
    const own = seen.filter(({ look }) => look === rank).map(({ points }) => thinned(points, TOLERANCE));
    const count = own.reduce((sum, points) => sum + points.length, 0);
    if (count === 0) continue;
    if (count > room) break;
    room -= count;
    // One path a rank: fewer elements, and streets join without seams. The widest are drawn last.
    streets.unshift({ look: rank, d: own.map(pathOf).join('') });
  }
  return {
    paths: [
      ...['district', 'area', 'water'].flatMap((look) => areas.filter((area) => area.look === look)),
      ...streams.map(({ look, points }) => ({ look, d: pathOf(thinned(points, TOLERANCE)) })),
      ...streets,
    ],
    places: ground.places
      .filter(({ name }) => name !== '')
      .map(({ kind, name, at }) => ({ kind, name, at: sheet.place(at) }))
      .filter(({ at }) => at.x > 0 && at.x < sheet.width && at.y > 0 && at.y < sheet.height),
  };
}

/** By its box alone: a line around a corner of the picture may be drawn for nothing. */
function isSeen(points: readonly Point[], { width, height }: Sheet): boolean {
  const xs = points.map(({ x }) => x);
  const ys = points.map(({ y }) => y);
  return Math.max(...xs) > 0 && Math.min(...xs) < width && Math.max(...ys) > 0 && Math.min(...ys) < height;
}

/** To a tenth of a unit. */
export const tenth = (value: number): number => Math.round(value * 10) / 10;

export const pathOf = (points: readonly Point[]): string =>
  points.map(({ x, y }, i) => `${i === 0 ? 'M' : 'L'}${tenth(x)} ${tenth(y)}`).join('');
