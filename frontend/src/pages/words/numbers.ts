/** Counts and lists as a sentence says them. */

const WORDS = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
];

/** "three"; in figures beyond twelve. */
export function inWords(count: number): string {
  return WORDS[count] ?? String(count);
}

export function capital(sentence: string): string {
  return sentence.charAt(0).toUpperCase() + sentence.slice(1);
}

/** "a", "a and b", "a, b and c". */
export function listed(items: string[], last = 'and'): string {
  if (items.length < 2) return items[0] ?? '';
  return `${items.slice(0, -1).join(', ')} ${last} ${items[items.length - 1]}`;
}

/** "one barrel", "three barrels". */
export function counted(count: number, one: string, many: string): string {
  return `${inWords(count)} ${count === 1 ? one : many}`;
}

/** "4 of 5" chances and the like keep their unit on the same line. */
export function unit(value: number | string, name: string): string {
  return `${value}\u00a0${name.replaceAll(' ', '\u00a0')}`;
}

/** Litres as a person writes them: "5 L", "0.83 L". */
export function litres(volume_l: number, decimals = 2): string {
  return unit(Number(volume_l.toFixed(decimals)), 'L');
}
