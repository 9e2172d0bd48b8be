/** Our mark as a picture of points, for phones that put it beside other applications: drawn here, kept in memory. */
import { crc32, deflateSync } from 'node:zlib';

export const ICON_SIZES: readonly number[] = [192, 512];

type Rgb = readonly [number, number, number];
const PAPER: Rgb = [0xf7, 0xf8, 0xf5];
const FILM: Rgb = [0x0b, 0x6f, 0x66];
const STOP: Rgb = [0xb0, 0x12, 0x40];

const made = new Map<number, Uint8Array<ArrayBuffer>>();

/** The mark of styles.ts, a ring of film with one stop on it, inside the 80 % that a phone never cuts off. */
export function iconPng(size: number): Uint8Array<ArrayBuffer> {
  const known = made.get(size) ?? encode(size, (x, y) => colourAt(x / size, y / size, 1 / size));
  made.set(size, known);
  return known;
}

/** In units of the picture's side; a point on an edge is mixed over the width of one point. */
function colourAt(x: number, y: number, pointSize: number): Rgb {
  const share = (distance: number): number => Math.min(1, Math.max(0, 0.5 - distance / pointSize));
  const [dx, dy] = [x - 0.5, y - 0.5];
  const isOpen = dx < 0 && dy < 0 && Math.abs(dx) < Math.abs(dy);
  const ring = isOpen ? 0 : share(Math.abs(Math.hypot(dx, dy) - RADIUS) - 0.055);
  const stop = share(Math.hypot(dx, dy + RADIUS) - 0.09);
  return mix(mix(PAPER, FILM, ring), STOP, stop);
}
const RADIUS = 0.27;
const mix = (under: Rgb, over: Rgb, share: number): Rgb =>
  under.map((value, i) => Math.round(value + (over[i]! - value) * share)) as unknown as Rgb;

/** Portable Network Graphics, W3C third edition: signature, IHDR, IDAT, IEND; 8 bits a channel, no filter. */
function encode(size: number, colour: (x: number, y: number) => Rgb): Uint8Array<ArrayBuffer> {
  const rows = Buffer.alloc(size * (1 + 3 * size));
  for (let y = 0; y < size; y++)
    for (let x = 0; x < size; x++) rows.set(colour(x + 0.5, y + 0.5), y * (1 + 3 * size) + 1 + 3 * x);
  const header = Buffer.alloc(13);
  header.writeUInt32BE(size, 0);
  header.writeUInt32BE(size, 4);
  header.set([8, 2, 0, 0, 0], 8);
  const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  const parts = [chunk('IHDR', header), chunk('IDAT', deflateSync(rows)), chunk('IEND', Buffer.alloc(0))];
  return new Uint8Array(Buffer.concat([signature, ...parts]));
}

function chunk(type: string, data: Buffer): Buffer {
  const named = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  const out = Buffer.alloc(named.length + 8);
  out.writeUInt32BE(data.length, 0);
  out.set(named, 4);
  out.writeUInt32BE(crc32(named), named.length + 4);
  return out;
}
