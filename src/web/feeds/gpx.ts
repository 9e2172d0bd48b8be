/**
 * GPX 1.1: the stops as a route, the way along the streets as a track. The schema fixes the order of elements:
 * gpx is metadata, wpt, rte, trk; a point is time, name, cmt, desc, ... type.
 */
import type { Instant, Position } from '../../core/quantity/units.ts';
import type { RoundFile, RoundPoint } from './round-file.ts';

export const GPX_TYPE = 'application/gpx+xml; charset=utf-8';

const NAMESPACE = 'http://www.topografix.com/GPX/1/1';
const SCHEMA = `${NAMESPACE} http://www.topografix.com/GPX/1/1/gpx.xsd`;

export function writeGpx({ name, description, createdAt, points, way }: RoundFile): string {
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<gpx version="1.1" creator="Feedround" xmlns="${NAMESPACE}" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" xsi:schemaLocation="${SCHEMA}">`,
    '<metadata>',
    element('name', name),
    element('desc', description),
    element('time', iso(createdAt)),
    '</metadata>',
    '<rte>',
    element('name', name),
    ...points.map(routePoint),
    '</rte>',
    '<trk>',
    element('name', name),
    '<trkseg>',
    ...way.map((position) => `<trkpt ${at(position)}/>`),
    '</trkseg>',
    '</trk>',
    '</gpx>',
    '',
  ].join('\n');
}

const routePoint = ({ kind, name, address, position, arriveAt, words }: RoundPoint): string =>
  [
    `<rtept ${at(position)}>`,
    element('time', iso(arriveAt)),
    element('name', name),
    ...(address === '' ? [] : [element('cmt', address)]),
    element('desc', words),
    element('type', kind),
    '</rtept>',
  ].join('');

/** Longitude lies from -180 up to, but not including, 180. Seven decimals are about a centimetre. */
const at = ({ lat, lon }: Position): string =>
  `lat="${lat.toFixed(7)}" lon="${(lon >= 180 ? lon - 360 : lon).toFixed(7)}"`;

const iso = (instant: Instant): string => new Date(instant * 1000).toISOString().replace('.000Z', 'Z');

// biome-ignore lint/suspicious/noControlCharactersInRegex: XML 1.0, 2.2, has no way to write them.
const NOT_XML = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g;
const ENTITIES: { readonly [character: string]: string } = { '&': '&amp;', '<': '&lt;', '>': '&gt;' };

const element = (tag: string, text: string): string =>
  `<${tag}>${text
    .toWellFormed()
    .replace(NOT_XML, '')
    .replace(/[&<>]/g, (found) => ENTITIES[found]!)}</${tag}>`;
