export interface AsOfProps {
  /** "fresh": what is shown was fetched at `time`; "no-signal": since `time`; "never": nothing fetched yet. */
  kind: 'fresh' | 'no-signal' | 'never';
  /** "18:40", or "Sunday 18:40" when it was not today. */
  time?: string;
  /** How many entries are on this device only. */
  unsent?: number;
}

/** How fresh the screen is, in words, at its top right. */
export function AsOf({ kind, time, unsent = 0 }: AsOfProps) {
  const words = wordsFor(kind, time);
  return (
    <>
      {unsent > 0 && (
        <>
          <a class="link due" href="/not-yet-sent">
            {unsent} not yet sent
          </a>
          {words && ', '}
        </>
      )}
      {words}
    </>
  );
}

function wordsFor(kind: AsOfProps['kind'], time: string | undefined): string {
  if (kind === 'never') return 'nothing fetched yet';
  if (kind === 'no-signal') return time ? `no signal since ${time}` : 'no signal';
  return time ? `as of ${time}` : '';
}
