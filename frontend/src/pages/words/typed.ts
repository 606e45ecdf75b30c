/** Figures as people type them. */

/** "0,5" and "0.5 " are half; anything else that is no number is null. */
export function typedNumber(text: string): number | null {
  const plain = text.trim().replace(',', '.');
  if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain)) return null;
  return Number(plain);
}
