/** A small repeatable random source, so that one tag always draws the same barrel. */
export type Random = () => number;

/** Hashes text to 32 bits (FNV-1a). */
export function hashText(text: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i += 1) {
    hash ^= text.charCodeAt(i);
    hash = Math.imul(hash, 0x01000193);
  }
  return hash >>> 0;
}

/** Numbers in [0, 1) that depend on the text alone (mulberry32). */
export function randomFrom(text: string): Random {
  let state = hashText(text);
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}
