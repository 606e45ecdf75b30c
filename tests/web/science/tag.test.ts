import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { checkCharacter, isChecked, tagFromText } from '~/science/tag.ts';

const STEM_CHARACTERS = '23456789ABCDEFGHJKLMNPQRSTUVWXYZ';
const stems = fc.string({
  unit: fc.constantFrom(...STEM_CHARACTERS),
  minLength: 5,
  maxLength: 5,
});

describe('the check character of ISO/IEC 7064 MOD 37,36', () => {
  // Source: IFPI, Global Release Identifier (GRid) Standard 2.1, the example number A1-2425G-ABC1234002-M, whose
  // check character is that of ISO 7064 MOD 37,36.
  test('it is M for the example of the GRid standard', () => {
    expect(checkCharacter('A12425GABC1234002')).toBe('M');
  });

  // Source: ISAN International Agency, example ISAN 0000-0000-D07A-0090-Q-0000-0000-X (ISO 15706-2 takes MOD 37,36);
  // the number is from memory, its two check characters agree with the GRid example's rule.
  test.each([
    ['00000000D07A0090', 'Q'],
    ['00000000D07A009000000000', 'X'],
  ])('it fits the example of the audiovisual number %s', (stem, check) => {
    expect(checkCharacter(stem)).toBe(check);
  });

  test('it refuses a character outside its set', () => {
    expect(() => checkCharacter('AB-CD')).toThrow(RangeError);
  });

  // Source: ISO/IEC 7064:2003, clause 1: every system detects all single substitution errors.
  test('it catches every single wrong character', () => {
    fc.assert(
      fc.property(
        stems,
        fc.nat(5),
        fc.constantFrom(...'0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ'),
        (stem, at, wrong) => {
          const code = stem + checkCharacter(stem);
          fc.pre(code[at] !== wrong);
          expect(isChecked(code.slice(0, at) + wrong + code.slice(at + 1))).toBe(false);
        },
      ),
    );
  });
});

describe('a tag as it is scanned or typed', () => {
  test('it reads every way of writing one code', () => {
    fc.assert(
      fc.property(stems, (stem) => {
        const code = stem + checkCharacter(stem);
        const written = [
          code,
          code.toLowerCase(),
          ` ${code.slice(0, 3)} ${code.slice(3)} `,
          `${code.slice(0, 3)}-${code.slice(3)}`,
          `https://cellar.example/t/${code}`,
          `https://cellar.example/t/${code}/?from=tag`,
        ];
        for (const text of written) expect(tagFromText(text)).toEqual({ ok: true, code });
      }),
    );
  });

  test('it takes O for 0 and I for 1 in the check character only', () => {
    const alike: Record<string, string> = { '0': 'O', O: '0', '1': 'I', I: '1' };
    let tried = 0;
    for (const a of STEM_CHARACTERS) {
      const stem = `A2B3${a}`;
      const other = alike[checkCharacter(stem)];
      if (!other) continue;
      tried += 1;
      expect(tagFromText(stem + other)).toEqual({ ok: true, code: stem + checkCharacter(stem) });
    }
    expect(tried).toBeGreaterThan(0);
    expect(tagFromText('O2B3C4').ok).toBe(false);
  });

  test.each(['', 'ABCDE', 'ABCDEFG', 'https://elsewhere.example/menu', 'A2B3C!', 'x'.repeat(5000)])(
    'it refuses %j with the allowed form',
    (text) => {
      const read = tagFromText(text);
      expect(read).toMatchObject({ ok: false, allowed: 'five characters and their check character' });
      expect(read.ok ? '' : read.detail.length).toBeLessThan(200);
    },
  );

  test('it says when only the check character is wrong', () => {
    const wrong = checkCharacter('NEAPS') === 'X' ? 'Y' : 'X';
    expect(tagFromText(`NEAPS${wrong}`)).toMatchObject({
      ok: false,
      detail: expect.stringContaining('does not fit'),
    });
  });
});
