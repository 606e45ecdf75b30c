// Writes public/icons from the drawing in icon.mjs. Run by hand when the drawing changes; the files are committed.
import { mkdirSync, writeFileSync } from 'node:fs';
import { Resvg } from '@resvg/resvg-js';
import { iconSvg } from './icon.mjs';

const out = new URL('../public/icons/', import.meta.url);
mkdirSync(out, { recursive: true });
const write = (name, svg, size) =>
  writeFileSync(
    new URL(name, out),
    new Resvg(svg, { fitTo: { mode: 'width', value: size } }).render().asPng(),
  );

const plain = iconSvg({ radius: 186, corner: 84 });
// A maskable icon keeps its drawing in the inner 80 % circle and its ground to the edge.
const maskable = iconSvg({ radius: 158, corner: 0 });
writeFileSync(new URL('icon.svg', out), plain);
write('icon-192.png', plain, 192);
write('icon-512.png', plain, 512);
write('icon-maskable-512.png', maskable, 512);
