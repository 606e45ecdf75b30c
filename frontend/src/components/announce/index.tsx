/** Says a change once, politely, to a screen reader. Stays mounted; only its words change. */
export function Announce({ message }: { message?: string | undefined }) {
  return (
    <div class="sr" role="status" aria-live="polite">
      {message ?? ''}
    </div>
  );
}
