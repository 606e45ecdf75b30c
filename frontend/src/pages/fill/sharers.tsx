import { Choice } from '~/components/choice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Note } from '~/components/words/index.tsx';
import { people, personName } from '~/outbox/overlay.ts';
import { counted, inWords } from '../words/numbers.ts';

type Shares = { person: string; weight: number }[];

interface SharersProps {
  sharers: Shares;
  /** What the club holds itself beside them. */
  club_weight: number;
  onChange: (sharers: Shares, club_weight: number) => void;
}

const MOST = 40;
/** The club among those who may be added; no person has such an id. */
const CLUB = 'club';

/** Who holds how many shares, the club among them; nobody means that the club owns the fill. */
export function Sharers({ sharers, club_weight, onChange }: SharersProps) {
  const club = sharers.length > 0 ? club_weight : 0;
  const whole = sharers.reduce((sum, share) => sum + share.weight, club);
  const weigh = (person: string, by: number): void => {
    const next = sharers
      .map((share) => (share.person === person ? { ...share, weight: share.weight + by } : share))
      .filter((share) => share.weight > 0);
    // Without a sharer the whole is the club's.
    onChange(next, next.length > 0 ? club : 0);
  };
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
            <Row
              key={person}
              name={personName(person)}
              weight={weight}
              whole={whole}
              onWeigh={(by) => weigh(person, by)}
            />
          ))}
          {club > 0 && (
            <Row
              name="The club"
              weight={club}
              whole={whole}
              onWeigh={(by) => onChange(sharers, Math.max(0, club + by))}
            />
          )}
        </ul>
      )}
      {sharers.length < MOST && (
        <div class="gap3">
          <Choice
            label="Add a sharer"
            options={[
              { value: '', label: 'Choose' },
              ...(sharers.length > 0 && club === 0 ? [{ value: CLUB, label: 'The club itself' }] : []),
              ...others.map((person) => ({ value: person.id, label: person.name })),
            ]}
            value=""
            onChange={(person) => {
              if (person === CLUB) onChange(sharers, 1);
              else if (person) onChange([...sharers, { person, weight: 1 }], club);
            }}
          />
        </div>
      )}
      {club > 0 && <Note>The club’s part of the bottles stands in the ledger without a holder.</Note>}
    </>
  );
}

interface RowProps {
  name: string;
  weight: number;
  whole: number;
  onWeigh: (by: number) => void;
}

function Row({ name, weight, whole, onWeigh }: RowProps) {
  return (
    <li class="fill__who">
      <span>
        {name}, {counted(weight, 'share', 'shares')} of {inWords(whole)}
      </span>
      <span class="fill__weight">
        <Press onPress={() => onWeigh(-1)}>
          −<span class="sr"> one share for {name}</span>
        </Press>
        <Press onPress={() => onWeigh(1)}>
          +<span class="sr"> one share for {name}</span>
        </Press>
      </span>
    </li>
  );
}
