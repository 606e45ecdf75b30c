import { useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import type { Moment } from '../words/time.ts';
import { begunMs, type Said, typedMs, wallTime, whenSaid, whenWrong } from '../words/when.ts';
import { moment } from './clock.ts';

export interface When {
  typed: string | null;
  setTyped: (typed: string | null) => void;
  /** Whether it is asked for an earlier time in any case, so that "now" is no answer. */
  isEarlier: boolean;
  wrong: string | undefined;
  from_ms: number | null;
  now: Moment;
  /** What an entry says of its time; null, and said at the field, where it cannot be. */
  said: () => Said | null;
  /** The instant it speaks of: now, or the one that was typed. */
  at_ms: number;
}

/** When an act was done: now, unless somebody says an earlier day and time. `from_ms` is the earliest there is. */
export function useWhen(from_ms: number | null, start: string | null = null): When {
  const now = moment();
  const [typed, setTyped] = useState(start);
  const [wrong, setWrong] = useState<string>();
  return {
    typed,
    setTyped: (next) => {
      setTyped(next);
      setWrong(undefined);
    },
    isEarlier: start !== null,
    wrong,
    from_ms,
    now,
    said: () => {
      // Asked when it is pressed: a form may have stood open for an hour.
      const pressed = { ...now, now_ms: Date.now() };
      const problem = typed === null ? undefined : whenWrong(typed, from_ms, pressed);
      setWrong(problem);
      return problem ? null : whenSaid(typed, from_ms, pressed);
    },
    at_ms: (typed === null ? null : typedMs(typed, now)) ?? now.now_ms,
  };
}

/** The same, of what is in a barrel. */
export function useWhenAt(barrel: Parameters<typeof begunMs>[0]): When {
  return useWhen(begunMs(barrel));
}

/** "Now", and behind one tap the day and the time. */
export function WhenField({ when }: { when: When }) {
  const { typed, setTyped, wrong, from_ms, now } = when;
  if (typed === null) {
    return (
      <p class="note">
        Done now.{' '}
        <button
          type="button"
          class="link"
          onClick={() => setTyped(wallTime(Math.max(now.now_ms, from_ms ?? now.now_ms), now.timezone))}
        >
          It was earlier
        </button>
      </p>
    );
  }
  return (
    <div>
      <Field
        label="When it was done"
        type="datetime-local"
        value={typed}
        onInput={setTyped}
        max={wallTime(now.now_ms, now.timezone)}
        {...(from_ms === null ? {} : { min: wallTime(from_ms, now.timezone) })}
        error={wrong}
      />
      {!when.isEarlier && (
        <p class="note gap2">
          <button type="button" class="link" onClick={() => setTyped(null)}>
            It was now
          </button>
        </p>
      )}
    </div>
  );
}
