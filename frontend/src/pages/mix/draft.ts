import { type DraftHandle, draft } from '~/store/drafts.ts';
import type { MixDraft } from '../words/mix-plan.ts';

/** The mix in hand for a barrel, from the first look at a recipe until the barrel is filled. */
export function mixDraft(barrel: string): DraftHandle<MixDraft> {
  return draft<MixDraft>(`mix ${barrel}`);
}
