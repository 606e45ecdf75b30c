import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';

/** Reads one check file of fixtures/vectors. */
export function readChecks(name: string): unknown {
  return JSON.parse(readFileSync(resolve(import.meta.dirname, '../../../fixtures/vectors', name), 'utf8'));
}
