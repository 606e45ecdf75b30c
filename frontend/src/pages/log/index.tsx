import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { Choice } from '~/components/choice/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { barrelBy } from '~/outbox/overlay.ts';
import { Fresh } from '../parts/fresh.tsx';
import { LogLines } from '../parts/log-lines.tsx';
import { Missing } from '../parts/missing.tsx';
import { LOG_GROUPS } from '../words/log.ts';

/** All that ever happened to one barrel, newest first. */
export default function LogPage() {
  const { params } = useRoute();
  const [group, setGroup] = useState('all');
  const barrel = barrelBy(params.id ?? '');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  const here = `/barrels/${barrel.id}`;
  return (
    <Screen
      title={`Log of ${barrel.name}`}
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
        <LogLines barrel={barrel.id} group={group} />
      </div>
    </Screen>
  );
}
