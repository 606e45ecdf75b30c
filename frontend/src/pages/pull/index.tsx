import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { Notice } from '~/components/notice/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Note, Say, Title } from '~/components/words/index.tsx';
import { barrelBy, club, logOf, type ShownBarrel } from '~/outbox/overlay.ts';
import { PullDrawing } from '../lessons/pull.tsx';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { keep, keptWords } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { isKeeper, myId, nameOf } from '../parts/me.ts';
import { Missing, NotAllowed } from '../parts/missing.tsx';
import { PullPart } from '../parts/pull-part.tsx';
import { insideNow } from '../words/barrel.ts';
import { isPulled, standingOf, standingWords, type Vote, votesOf, yieldWords } from '../words/glass.ts';
import { strengthWords } from '../words/inside.ts';
import { capital, counted } from '../words/numbers.ts';

/** Is it time? Its sharers say so, and whoever decides in this club decides. */
export default function PullPage() {
  const { params } = useRoute();
  const barrel = barrelBy(params.id ?? '');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  if (barrel.contents?.kind !== 'fill') {
    return <NotAllowed title={barrel.name} words="There is nothing in it to pull." />;
  }
  return <Room key={barrel.contents.stay} barrel={barrel} fill={barrel.contents} />;
}

function Room({ barrel, fill }: { barrel: ShownBarrel; fill: NonNullable<ShownBarrel['contents']> }) {
  const [said, setSaid] = useState('');
  const [problem, setProblem] = useState('');
  const me = myId();
  const log = logOf(barrel.id).value ?? [];
  const votes = votesOf(log, fill.stay);
  const standing = standingOf(votes, fill.sharers, fill.club_weight);
  const mine = votes.find((vote) => vote.person === me)?.choice;
  const isSharer = fill.sharers.some((share) => share.person === me);
  const isOwner = barrel.owners.some((share) => share.person === me);
  const decides = isKeeper() || isOwner || (isSharer && club.value?.pull_by === 'sharers' && standing.is_for);
  const pulled = isPulled(log, fill.stay);
  const inside = insideNow(barrel, moment().now_ms);
  const strength = inside ? strengthWords(fill, inside) : null;

  const vote = async (choice: Vote['choice'] | undefined): Promise<void> => {
    if (!choice || choice === mine) return;
    const kept = await keep('pull-votes', { barrel: barrel.id, fill: fill.stay, choice });
    setProblem(kept.ok ? '' : kept.words);
    if (kept.ok) setSaid(keptWords());
  };
  const decide = async (): Promise<void> => {
    const kept = await keep('pulls', { barrel: barrel.id, fill: fill.stay });
    setProblem(kept.ok ? '' : kept.words);
    if (kept.ok) setSaid(`It is to be pulled. ${keptWords()}`);
  };

  return (
    <Screen
      title={`Pull ${barrel.name}`}
      announce={said || problem}
      top={{ back: { href: `/barrels/${barrel.id}`, label: barrel.name }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Trouble', href: `/barrels/${barrel.id}/trouble`, tone: 'red' }}
          {...(pulled && decides
            ? { act: { label: 'Decant it', href: `/barrels/${barrel.id}/decant` } }
            : decides
              ? {
                  act: { label: 'Pull it', lit: standing.is_for || isKeeper(), onPress: () => void decide() },
                }
              : {})}
          right={{ label: 'Taste', href: `/barrels/${barrel.id}/taste` }}
        />
      }
    >
      <Section>
        <Title>Pull {fill.name ?? barrel.name}?</Title>
        {!pulled && <LessonFor name="pull" drawing={<PullDrawing />} />}
        {pulled ? <Say>It is to be pulled. Decant it next.</Say> : <Say>{standingWords(standing)}</Say>}
        {inside && (
          <Note>
            {yieldWords(inside.volume_l)} {strength && `${capital(strength)}.`}
          </Note>
        )}
        {said && (
          <p class="ok tick gap3" aria-hidden="true">
            {said}
          </p>
        )}
        {problem && <Notice tone="red">{problem}</Notice>}
        {(isSharer || isOwner || isKeeper()) && !pulled && (
          <div class="gap5">
            <PressGroup
              label="What do you say?"
              options={[
                { value: 'pull' as const, label: 'Pull it' },
                { value: 'wait' as const, label: 'Wait' },
              ]}
              value={mine}
              onChange={(choice) => void vote(choice)}
            />
            {!isSharer && (
              <p class="note gap2">Only its sharers’ words are counted; yours stands beside them.</p>
            )}
          </div>
        )}
        <PullPart barrel={barrel} />
        {fill.sharers.length > 0 && <h2 class="lead b gap6">Its sharers</h2>}
      </Section>
      <StaveList label="Its sharers">
        {fill.sharers.map((share) => {
          const choice = votes.find((one) => one.person === share.person)?.choice;
          return (
            <StaveRow
              key={share.person}
              title={nameOf(share.person)}
              aside={choice === 'pull' ? 'Pull it' : choice === 'wait' ? 'Wait' : 'Not yet'}
            >
              {counted(share.weight, 'share', 'shares')}
            </StaveRow>
          );
        })}
        {fill.club_weight > 0 && (
          <StaveRow title="The club" aside="The keeper decides">
            {counted(fill.club_weight, 'share', 'shares')}
          </StaveRow>
        )}
      </StaveList>
    </Screen>
  );
}
