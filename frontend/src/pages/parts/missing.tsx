import { Empty } from '~/components/empty/index.tsx';
import { Loading } from '~/components/loading/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { syncStatus } from '~/sync/status.ts';
import { UNREAD } from './empty-room.tsx';
import { isFirstLoad } from './first-load.ts';
import { Fresh } from './fresh.tsx';

/** Stands in for a screen whose barrel is not (yet) on this phone. */
export function Missing({ what }: { what: string }) {
  if (isFirstLoad()) {
    return (
      <Screen title="Staveward" heading="Fetching" top={{ back: { href: '/barrels', label: 'Barrels' } }}>
        <Loading />
      </Screen>
    );
  }
  const isUnread = syncStatus.value.first_load;
  return (
    <Screen title="Not found" top={{ back: { href: '/barrels', label: 'Barrels' }, right: <Fresh /> }}>
      <Section>
        <Title>{isUnread ? 'Not read yet' : 'Nothing here'}</Title>
        <Empty>
          <p>{isUnread ? UNREAD : what}</p>
          <Press href="/barrels">All barrels</Press>
        </Empty>
      </Section>
    </Screen>
  );
}

/** A screen that its reader's role does not have. */
export function NotAllowed({ title, words }: { title: string; words: string }) {
  return (
    <Screen title={title} top={{ back: { href: '/', label: 'Back' }, right: <Fresh /> }}>
      <Section>
        <Title>{title}</Title>
        <p class="gap4">{words}</p>
      </Section>
    </Screen>
  );
}
