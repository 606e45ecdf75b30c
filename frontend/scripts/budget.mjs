// Fails when what a first visit must load before it shows anything (the script and style files named in index.html,
// preloads included) weighs more than the budget when compressed.
import { readFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';

const BUDGET_BYTES = 60_000;
const dist = new URL('../dist/', import.meta.url);
const html = readFileSync(new URL('index.html', dist), 'utf8');
if (/<script(?![^>]*\bsrc=)[^>]*>|<style|\sstyle=/.test(html)) {
  console.error('index.html holds an inline script or style, which the content policy forbids.');
  process.exit(1);
}
const names = new Set([...html.matchAll(/(?:src|href)="\/(assets\/[^"]+\.(?:js|css))"/g)].map((m) => m[1]));
let total = 0;
for (const name of names) {
  const bytes = gzipSync(readFileSync(new URL(name, dist)), { level: 9 }).length;
  total += bytes;
  console.log(`${String(bytes).padStart(7)} B gzip  ${name}`);
}
console.log(`${String(total).padStart(7)} B gzip  first load, of ${BUDGET_BYTES}`);
if (names.size === 0 || total > BUDGET_BYTES) {
  console.error(
    names.size === 0
      ? 'No first-load file was found in dist/index.html.'
      : 'The first load is over its budget.',
  );
  process.exit(1);
}
