/** Who reads: their role, and what the keeper may that a member may not. */

import { session } from '~/api/session.ts';
import type { Role } from '~/api/types.ts';
import { personName } from '~/outbox/overlay.ts';

export function myId(): string {
  return session.value.person?.id ?? '';
}

export function myRole(): Role {
  return session.value.person?.role ?? 'member';
}

export function isKeeper(): boolean {
  const role = myRole();
  return role === 'keeper' || role === 'admin';
}

/** "you" for oneself, the name for everybody else. */
export function nameOf(id: string): string {
  return personName(id);
}
