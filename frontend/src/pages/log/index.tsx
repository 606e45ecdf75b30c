import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { Choice } from '~/components/choice/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { barrelBy, type LogLine, logOf, type ShownBarrel } from '~/outbox/overlay.ts';
import { nowMs } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { keptWords } from '../parts/keep.ts';
import { LogLines } from '../parts/log-lines.tsx';
import { isKeeper, myId } from '../parts/me.ts';
import { Missing } from '../parts/missing.tsx';
import { earlierVersions, mayCorrect, standing } from '../words/history.ts';
import { LOG_GROUPS } from '../words/log.ts';
import { EntrySheet } from './entry-sheet.tsx';

/** All that ever happened to one barrel, newest first. */
export default function LogPage() {
  const { params } = useRoute();
  const [group, setGroup] = useState('all');
  const [open, setOpen] = useState<LogLine | null>(null);
  const [said, setSaid] = useState('');
  const barrel = barrelBy(params.id ?? '');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  const here = `/barrels/${barrel.id}`;
  return (
    <Screen
      title={`Log of ${barrel.name}`}
      announce={said}
      top={{ back: { href: here, label: barrel.name }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Trouble', href: `${here}/trouble`, tone: 'red' }}
          act={
            barrel.contents?.may_taste
              ? { label: 'Taste', href: `${here}/taste` }
              : { label: 'Barrel', href: here }
          }
          right={{ label: 'Barrels', href: '/barrels' }}
        />
      }
    >
      <Section>
        <Title>Log of {barrel.name}</Title>
        {said && <p class="ok tick gap2">{said}</p>}
        <div class="gap4">
          <Choice
            label="Show"
            value={group}
            onChange={setGroup}
            options={LOG_GROUPS.map(({ value, label }) => ({ value, label }))}
          />
        </div>
      </Section>
      <div class="gap4">
        <LogLines barrel={barrel.id} group={group} onOpen={setOpen} />
      </div>
      {open && (
        <Opened
          line={open}
          barrel={barrel}
          onClose={() => setOpen(null)}
          onSaid={(words) => {
            setOpen(null);
            setSaid(`${words} ${keptWords()}`);
          }}
        />
      )}
    </Screen>
  );
}

interface OpenedProps {
  line: LogLine;
  barrel: ShownBarrel;
  onClose: () => void;
  onSaid: (words: string) => void;
}

/** An entry as it stands now, with what its reader may do about it. */
function Opened({ line, barrel, onClose, onSaid }: OpenedProps) {
  const log = logOf(barrel.id).value ?? [];
  const me = myId();
  const isInvolved =
    barrel.owners.some((share) => share.person === me) ||
    (line.stay === barrel.contents?.stay &&
      (barrel.contents?.sharers.some((share) => share.person === me) ?? false));
  const current = standing(log).find((one) => one.id === line.id) ?? line;
  const isMine = current.author === me || current.subject === me;
  return (
    <EntrySheet
      line={current}
      before={earlierVersions(log).get(current.id) ?? []}
      mayCorrect={mayCorrect(current, { me, isKeeper: isKeeper(), isInvolved }, nowMs.value)}
      mayPhotograph={current.body !== null && (isKeeper() || isInvolved || isMine)}
      onClose={onClose}
      onSaid={onSaid}
    />
  );
}
