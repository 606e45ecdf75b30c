import { Section } from '~/components/section/index.tsx';
import { storageTrouble } from '~/sync/status.ts';

/** A quiet word where the browser does not promise to keep what this phone holds; nothing else is wrong. */
export function MayBeCleared({ bare }: { bare?: boolean }) {
  if (storageTrouble.value !== 'may_be_cleared') return null;
  const words = (
    <p class="note gap4">
      This browser does not promise to keep what waits here unsent. Put Staveward on the home screen, or come
      back with signal before you clear it.
    </p>
  );
  return bare ? words : <Section>{words}</Section>;
}
