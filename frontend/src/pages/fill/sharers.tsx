import { Choice } from '~/components/choice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Note } from '~/components/words/index.tsx';
import { people, personName } from '~/outbox/overlay.ts';
import { counted, inWords } from '../words/numbers.ts';

interface SharersProps {
  sharers: { person: string; weight: number }[];
  onChange: (sharers: { person: string; weight: number }[]) => void;
}

const MOST = 40;

/** Who holds how many shares; nobody means that the club owns the fill. */
export function Sharers({ sharers, onChange }: SharersProps) {
  const whole = sharers.reduce((sum, share) => sum + share.weight, 0);
  const weigh = (person: string, by: number): void =>
    onChange(
      sharers
        .map((share) => (share.person === person ? { ...share, weight: share.weight + by } : share))
        .filter((share) => share.weight > 0),
    );
  const others = people.value.filter(
    (person) =>
      person.left_at === null &&
      person.role !== 'tablet' &&
      person.role !== 'sensor' &&
      !sharers.some((share) => share.person === person.id),
  );
  return (
    <>
      {sharers.length === 0 ? (
        <Note>The club owns it. Add whoever holds a share.</Note>
      ) : (
        <ul class="gap3" aria-label="Sharers">
          {sharers.map(({ person, weight }) => (
            <li key={person} class="fill__who">
              <span>
                {personName(person)}, {counted(weight, 'share', 'shares')} of {inWords(whole)}
              </span>
              <span class="fill__weight">
                <Press onPress={() => weigh(person, -1)}>
                  −<span class="sr"> one share for {personName(person)}</span>
                </Press>
                <Press onPress={() => weigh(person, 1)}>
                  +<span class="sr"> one share for {personName(person)}</span>
                </Press>
              </span>
            </li>
          ))}
        </ul>
      )}
      {sharers.length < MOST && (
        <div class="gap3">
          <Choice
            label="Add a sharer"
            options={[
              { value: '', label: 'Choose' },
              ...others.map((person) => ({ value: person.id, label: person.name })),
            ]}
            value=""
            onChange={(person) => {
              if (person) onChange([...sharers, { person, weight: 1 }]);
            }}
          />
        </div>
      )}
    </>
  );
}
