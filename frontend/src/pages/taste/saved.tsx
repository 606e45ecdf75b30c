import type { OffNote } from '~/api/types.ts';
import { Notice } from '~/components/notice/index.tsx';
import { scoreText, scoreWord } from '~/components/rod/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Brand, Mark } from '~/components/words/index.tsx';
import { logOf, type ShownBarrel } from '~/outbox/overlay.ts';
import { outboxEntries } from '~/outbox/queue.ts';
import { nearDay } from '~/science/dates.ts';
import { moment } from '../parts/clock.ts';
import { drinkG } from '../parts/drink.ts';
import { myEvening } from '../parts/evening.ts';
import { Fresh } from '../parts/fresh.tsx';
import { myId, nameOf } from '../parts/me.ts';
import { PullPart } from '../parts/pull-part.tsx';
import { drinksWords } from '../words/evening.ts';
import { othersScores, raisedWords } from '../words/taste.ts';
import { today } from '../words/time.ts';

export interface SavedProps {
  barrel: ShownBarrel;
  fill: string;
  saved: { id: string; liking: number };
  /** What was ticked as off. */
  off: readonly OffNote[];
  words: string;
}

const OAK: Record<string, string> = { '-1': 'too little oak', '0': 'oak right', '1': 'too much oak' };

/** After a taste: where it is kept, and now what the others gave. */
export function Saved({ barrel, fill, saved, off, words }: SavedProps) {
  const now = moment();
  const log = logOf(barrel.id).value ?? [];
  const drinks = drinksWords(myEvening(), drinkG());
  const others = othersScores(log, fill, myId());
  const entry = outboxEntries.value.find((one) => one.id === saved.id);
  const isSent = !entry || entry.state === 'done';
  const raised = raisedWords(off, barrel.name, isSent);
  const where = isSent ? 'Sent.' : words;
  return (
    <Screen
      title={`Saved: ${barrel.name}`}
      glow="right"
      announce={where}
      top={{ back: { href: `/barrels/${barrel.id}`, label: barrel.name }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Barrel', href: `/barrels/${barrel.id}` }}
          act={{ label: 'Done', href: '/' }}
          right={{ label: 'Scan', href: '/scan' }}
        />
      }
    >
      <Section>
        <Brand as="h1" big>
          {barrel.name}
        </Brand>
        <div class="gap4">
          <Mark>{scoreText(saved.liking)}</Mark>
          <p class="lead">{scoreWord(saved.liking)}</p>
        </div>
        <p class="ok tick gap4">{where}</p>
        {drinks && <p class="note gap2">{drinks}</p>}
        {!raised && <p class="note gap2">Score it again today and the new score takes this one’s place.</p>}
      </Section>
      {raised && (
        <div class="gap4">
          <Notice
            tone="red"
            act={
              <a class="link" href={`/barrels/${barrel.id}/trouble`}>
                What to do first
              </a>
            }
          >
            {raised}
          </Notice>
        </div>
      )}
      {/* An off smell goes before any forecast. */}
      {!raised && (
        <Section>
          <PullPart barrel={barrel} />
        </Section>
      )}
      <Section class="gap6">
        <h2 class="lead b">What the others gave</h2>
      </Section>
      {others.length === 0 ? (
        <Section>
          <p class="note gap2">Nobody else has scored this fill yet.</p>
        </Section>
      ) : (
        <div class="gap3">
          <StaveList label="What the others gave">
            {others.map((score) => (
              <StaveRow key={score.person} title={`${nameOf(score.person)}: ${scoreText(score.liking)}`}>
                {nearDay(score.day, today(now))}
                {score.oak === null ? '' : `, ${OAK[String(score.oak)]}`}
              </StaveRow>
            ))}
          </StaveList>
        </div>
      )}
    </Screen>
  );
}
