import './style.css';
import { useRoute } from 'preact-iso';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Brand, Note, Verdict } from '~/components/words/index.tsx';
import { barrelBy, type ShownBarrel } from '~/outbox/overlay.ts';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { isKeeper } from '../parts/me.ts';
import { Missing, NotAllowed } from '../parts/missing.tsx';
import PullPicture from '../parts/pull-picture.tsx';
import { isOutline, stateSentence } from '../words/barrel.ts';
import type { Pull } from '../words/best-weeks.ts';
import { agreementWords, basisWords, priorWords, pullNote, pullTitle } from '../words/pull.ts';
import { nearDayOf } from '../words/time.ts';

/** When a fill will be liked best, and what that rests on. */
export default function ForecastPage() {
  const { params } = useRoute();
  const barrel = barrelBy(params.id ?? '');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  const { contents } = barrel;
  if (isOutline(contents)) {
    return <NotAllowed title={barrel.name} words="Mix and tastings are its sharers’." />;
  }
  if (contents?.kind !== 'fill' || !contents.pull) {
    return (
      <NotAllowed
        title={barrel.name}
        words={
          contents?.kind === 'fill'
            ? 'Its best weeks are not reckoned yet. They come with the next signal.'
            : `There is no fill in ${barrel.name} to forecast. ${stateSentence(barrel, moment())}`
        }
      />
    );
  }
  return <Room barrel={barrel} pull={contents.pull} />;
}

function Room({ barrel, pull }: { barrel: ShownBarrel; pull: Pull }) {
  const now = moment();
  const agreement = agreementWords(pull);
  return (
    <Screen
      title={`Forecast of ${barrel.name}`}
      glow="left"
      top={{ back: { href: `/barrels/${barrel.id}`, label: barrel.name }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Barrel', href: `/barrels/${barrel.id}` }}
          {...(barrel.contents?.may_taste
            ? { act: { label: 'Taste', href: `/barrels/${barrel.id}/taste` } }
            : {})}
          right={{ label: 'Log', href: `/barrels/${barrel.id}/log` }}
        />
      }
    >
      <div class="forecast">
        <Section>
          <Brand as="h1" big>
            {barrel.name}
          </Brand>
          <Note>{stateSentence(barrel, now)}</Note>
          <div class="gap5">
            <Verdict as="h2">{pullTitle(pull)}</Verdict>
            <Note>{pullNote(pull)}</Note>
          </div>
        </Section>
        <Section class="gap4">
          <PullPicture barrel={barrel} pull={pull} withTable />
        </Section>
        <Section class="gap6">
          <h2 class="lead b">What it rests on</h2>
          <p class="gap2">{basisWords(pull)}</p>
          <p class="gap2">{priorWords(pull)}</p>
          {agreement && <p class="gap2">{agreement}</p>}
          <Note>
            The weeks are meant to hold the best one in about 4 cases of 5
            {isKeeper() ? (
              <>
                ; how past ones did stands in the{' '}
                <a class="link" href="/report">
                  cellar report
                </a>
              </>
            ) : null}
            . An off smell or a strength that is out of bounds goes before all of it. Reckoned{' '}
            {nearDayOf(Date.parse(pull.made_at), now)}.
          </Note>
        </Section>
      </div>
    </Screen>
  );
}
