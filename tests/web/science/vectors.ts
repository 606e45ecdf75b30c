import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';

const OWN_FOLDER = resolve(import.meta.dirname, '../../../fixtures/vectors');

/** Reads one check file, from the folder that STAVEWARD_VECTORS names or from fixtures/vectors. */
export function readChecks(name: string): unknown {
  return JSON.parse(readFileSync(resolve(process.env.STAVEWARD_VECTORS || OWN_FOLDER, name), 'utf8'));
}
