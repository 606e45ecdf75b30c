import '../care-settings/style.css';
import { useState } from 'preact/hooks';
import type { Club } from '~/api/types.ts';
import { Loading } from '~/components/loading/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { club } from '~/outbox/overlay.ts';
import { outboxEntries } from '~/outbox/queue.ts';
import { Fresh } from '../parts/fresh.tsx';
import { keptWords } from '../parts/keep.ts';
import { isKeeper, myRole } from '../parts/me.ts';
import {
  drinkWords,
  figuresWords,
  isClubWaiting,
  lawWords,
  mayWords,
  pullWords,
  withWaiting,
} from '../words/club-settings.ts';
import { LAW } from '../words/law.ts';
import { DrinkSheet, FiguresSheet, LawSheet, NameSheet, RulesSheet, type SheetProps } from './sheets.tsx';

type Open = 'name' | 'rules' | 'figures' | 'drink' | { law: string };

const SHEETS = { name: NameSheet, rules: RulesSheet, figures: FiguresSheet, drink: DrinkSheet } as const;

/** What this club decided for itself: its rules, its answers about the law, its clock, its drink. An admin changes it. */
export default function ClubSettings() {
  const [open, setOpen] = useState<Open | null>(null);
  const [said, setSaid] = useState('');
  const read = club.value;
  const mayEdit = myRole() === 'admin';
  const isWaiting = read !== null && isClubWaiting(read, outboxEntries.value);
  const row = read && withWaiting(read, outboxEntries.value);
  const change = (what: Open, name: string) =>
    mayEdit && !isWaiting
      ? {
          aside: (
            <Press onPress={() => setOpen(what)}>
              Change<span class="sr"> {name}</span>
            </Press>
          ),
        }
      : {};
  const props: Omit<SheetProps, 'row'> = {
    onClose: () => setOpen(null),
    onKept: () => {
      setOpen(null);
      setSaid(keptWords());
      scrollTo(0, 0);
    },
  };
  return (
    <Screen
      title="The club"
      announce={said}
      top={{ back: { href: '/mine', label: isKeeper() ? 'More' : 'Mine' }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Members', href: '/members' }}
          {...(isKeeper() ? { act: { label: 'Care', href: '/settings/care' } } : {})}
          right={{ label: isKeeper() ? 'More' : 'Mine', href: '/mine' }}
        />
      }
    >
      <Section>
        <Title>{row?.name ?? 'The club'}</Title>
        <p class="note gap2">What the club decided for itself.{!mayEdit && ' An admin changes it.'}</p>
        {said && <p class="ok tick gap3">{said}</p>}
      </Section>
      {mayEdit && isWaiting && (
        <Notice>
          The last change is still on its way. What is here can be changed again once it has arrived.
        </Notice>
      )}
      {!row && <Loading />}
      {row && (
        <>
          <div class="gap4">
            <StaveList label="Rules">
              <StaveRow
                title="Who pulls a fill, who may do what"
                heading="h2"
                {...change('rules', 'the rules')}
              >
                <span class="ink">{pullWords(row.pull_by)}</span> {mayWords(row).join(' ')}
              </StaveRow>
              <StaveRow title="Samples and reservations" heading="h2" {...change('figures', 'the figures')}>
                {figuresWords(row)}
              </StaveRow>
              <StaveRow title="A standard drink" heading="h2" {...change('drink', 'the standard drink')}>
                {drinkWords(row)}
              </StaveRow>
              <StaveRow
                title="Name, clock and money"
                heading="h2"
                {...change('name', 'name, clock and money')}
              >
                {row.name}. The clock of {row.timezone.replaceAll('_', ' ')}; costs in {row.currency}.
              </StaveRow>
            </StaveList>
          </div>
          <Law row={row} change={change} />
        </>
      )}
      {row && open !== null && <Opened open={open} row={row} {...props} />}
    </Screen>
  );
}

function Opened({ open, ...props }: SheetProps & { open: Open }) {
  if (typeof open === 'object') return <LawSheet {...props} about={open.law} />;
  const Sheet = SHEETS[open];
  return <Sheet {...props} />;
}

interface LawProps {
  row: Club;
  change: (what: Open, name: string) => object;
}

/** What the club found out about the law where it is; what nobody asked stays in sight at every fill. */
function Law({ row, change }: LawProps) {
  return (
    <section class="gap6" aria-labelledby="the-law">
      <Section>
        <h2 class="lead b" id="the-law">
          The law
        </h2>
        <p class="note gap2">
          Making, ageing, sharing and selling spirits is licensed in most places. We do not know the law where
          you are: ask your licensing authority first, and write down who said what.
        </p>
      </Section>
      <div class="gap3">
        <StaveList label="The law">
          {LAW.map(({ key, title, question }) => (
            <StaveRow key={key} title={title} heading="h3" {...change({ law: key }, title)}>
              {question}{' '}
              {lawWords(row.law, key) ? (
                <span class="ink">{lawWords(row.law, key)}</span>
              ) : (
                <span class="due">Nobody has answered this yet.</span>
              )}
            </StaveRow>
          ))}
        </StaveList>
      </div>
    </section>
  );
}
