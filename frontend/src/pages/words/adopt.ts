/** An old barrel of the club, taken over as it was found: what is not known stays a range. */

export interface UsedRange {
  value: string;
  label: string;
  low: number;
  high: number;
}

/** How much of its wood may be used, from what somebody remembers. Working assumptions, and wide on purpose. */
export const USED: UsedRange[] = [
  { value: 'new', label: 'Never filled', low: 0, high: 0 },
  { value: 'little', label: 'A fill or two', low: 0.1, high: 0.5 },
  { value: 'half', label: 'Some fills', low: 0.3, high: 0.8 },
  { value: 'much', label: 'Many fills', low: 0.6, high: 1.2 },
  { value: 'unknown', label: 'Nobody knows', low: 0, high: 1.2 },
];

export const usedRange = (value: string): UsedRange => USED.find((one) => one.value === value) ?? USED[4]!;

/** "3 tenths to 8 tenths of its wood may be used." Beyond 1 there is nothing left to use. */
export function usedWords({ low, high }: UsedRange): string {
  const tenths = (share: number): string =>
    share >= 1 ? 'all' : share <= 0.1 ? '1 tenth' : `${Math.round(share * 10)} tenths`;
  if (low <= 0) return `none of its wood may be used, or ${tenths(high)} of it.`;
  return `${tenths(low)} to ${tenths(high)} of its wood may be used.`;
}
