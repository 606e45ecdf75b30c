/** People of a club in words: what each role may, and what is wrong with what was typed. */

import type { Person, Role } from '~/api/types.ts';

export const ROLES: Record<string, string> = {
  admin: 'Admin',
  keeper: 'Keeper',
  member: 'Member',
  tablet: 'The bar’s tablet',
  sensor: 'A sensor',
};

const MAY: Record<string, string> = {
  admin: 'An admin answers for the club: people, rules, the report; and may do all that a keeper may.',
  keeper: 'A keeper answers for the cellar: registers barrels, cures, fills, decants and bottles.',
  member: 'A member tastes, tends, reserves, and shares fills.',
  tablet: 'The shared device at the bar; whoever stands there picks their name.',
  sensor: 'A thermometer that may only write down the climate of a place.',
};

export const ROLE_OPTIONS = Object.entries(ROLES).map(([value, label]) => ({ value, label }));

export const roleWords = (role: Role): string => MAY[role] ?? '';

type Known = Pick<Person, 'name' | 'email' | 'left_at'>;

export function nameWrong(name: string, people: readonly Known[]): { name?: string } {
  const typed = name.trim().toLowerCase();
  if (!typed) return { name: 'Say their name.' };
  const isTaken = people.some((one) => one.left_at === null && one.name.toLowerCase() === typed);
  return isTaken
    ? { name: 'Somebody here has that name: add a letter, so that the log can tell them apart.' }
    : {};
}

/** An address may be left out; one that stands for somebody here already would be sent back. */
export function emailWrong(email: string, people: readonly Known[]): { email?: string } {
  const typed = email.trim().toLowerCase();
  if (!typed) return {};
  if (!/^[^\s@]+@[^\s@]+$/.test(typed)) return { email: 'That is no e-mail address.' };
  const other = people.find((one) => one.email?.toLowerCase() === typed);
  return other ? { email: `${other.name} has this address.` } : {};
}
