/**
 * The code on a barrel's tag: five characters and one check character after ISO/IEC 7064:2003 MOD 37,36, so that a
 * slip of the eye or the finger is told before anything is looked up.
 */

const CHARACTERS = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ';
const MODULUS = CHARACTERS.length;
const STEM_LENGTH = 5;
/** Without 0 O 1 I, which are read for one another by lamplight. The check character may be any of them. */
const STEM = /^[2-9A-HJ-NP-Z]{5}$/;
const ALIKE: Record<string, string> = { '0': 'O', O: '0', '1': 'I', I: '1' };
const ADDRESS = /\/t\/([^/?#]+)\/?(?:[?#].*)?$/;

export const TAG_ALLOWED = 'five characters and their check character';

export type TagRead = { ok: true; code: string } | { ok: false; detail: string; allowed: string };

/**
 * Returns the check character of a stem: the hybrid system of ISO/IEC 7064 with modulus 37 and 36.
 * Throws RangeError on a character outside 0-9 A-Z.
 */
export function checkCharacter(stem: string): string {
  let product = MODULUS;
  for (const character of stem) {
    const value = CHARACTERS.indexOf(character);
    if (value < 0) throw new RangeError(`stem: ${JSON.stringify(character)} is not one of 0-9 A-Z`);
    const sum = (product + value) % MODULUS || MODULUS;
    product = (sum * 2) % (MODULUS + 1);
  }
  return CHARACTERS.charAt((MODULUS + 1 - product) % MODULUS);
}

/** Whether the last character is the check character of those before it. */
export function isChecked(code: string): boolean {
  return /^[0-9A-Z]{2,}$/.test(code) && checkCharacter(code.slice(0, -1)) === code.slice(-1);
}

/** Reads what a camera saw or a person typed: a tag's address, or its code with spaces, hyphens, small letters. */
export function tagFromText(text: string): TagRead {
  const bare = (ADDRESS.exec(text.trim())?.[1] ?? text).toUpperCase().replace(/[\s-]/g, '');
  const stem = bare.slice(0, STEM_LENGTH);
  if (bare.length !== STEM_LENGTH + 1 || !STEM.test(stem)) {
    const shown = bare.length > 12 ? `${bare.slice(0, 12)}...` : bare;
    return {
      ok: false,
      detail: `“${shown}” is not a tag code. A code has six characters; the first five are never 0, O, 1 or I.`,
      allowed: TAG_ALLOWED,
    };
  }
  const last = bare.slice(STEM_LENGTH);
  const check = checkCharacter(stem);
  if (last === check || ALIKE[last] === check) return { ok: true, code: stem + check };
  return {
    ok: false,
    detail: `“${bare}” is not a tag code: its last character does not fit the others. Read it once more.`,
    allowed: TAG_ALLOWED,
  };
}
