import { useEffect } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { Empty } from '~/components/empty/index.tsx';
import { Loading } from '~/components/loading/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { barrelOfFormerTag, barrelOfTag, barrels } from '~/outbox/overlay.ts';
import { tagFromText } from '~/science/tag.ts';
import { syncStatus } from '~/sync/status.ts';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { useGo } from '../parts/go.ts';
import { afterScan } from '../words/scan.ts';
import { nearDayOf } from '../words/time.ts';

/** A tag's own address, as a phone's camera opens it. */
export default function TagPage() {
  const { params } = useRoute();
  const go = useGo();
  const read = tagFromText(params.code ?? '');
  const barrel = read.ok ? barrelOfTag(read.code) : undefined;
  const target = barrel ? afterScan(barrel) : null;
  useEffect(() => {
    if (target) go(target, true);
  }, [target]);
  const former = read.ok && !barrel ? barrelOfFormerTag(read.code) : null;
  // The store opens a moment after the page does.
  const isReading = barrels.value.length === 0 && (syncStatus.value.first_load || syncStatus.value.pulling);
  if (target || (read.ok && isReading)) {
    return (
      <Screen title="Tag" heading="Looking for the barrel">
        <Loading label="Looking for the barrel" />
      </Screen>
    );
  }
  if (read.ok && former) {
    return (
      <Screen title="Tag" top={{ back: { href: '/scan', label: 'Scan' }, right: <Fresh /> }}>
        <Section>
          <Title>An old tag</Title>
          <Empty>
            <p>
              {read.code} was replaced {nearDayOf(Date.parse(former.replaced_at), moment())}. It belonged to{' '}
              {former.barrel.name}, which carries {former.barrel.tag_code} now.
            </p>
            <Press href={afterScan(former.barrel)}>Open {former.barrel.name}</Press>
          </Empty>
        </Section>
      </Screen>
    );
  }
  return (
    <Screen title="Tag" top={{ back: { href: '/scan', label: 'Scan' }, right: <Fresh /> }}>
      <Section>
        <Title>No barrel</Title>
        <Empty>
          <p>
            {read.ok
              ? `No barrel of this club has the tag ${read.code}. Its tag may have been replaced.`
              : read.detail}
          </p>
          <Press href="/scan">Scan again</Press>
        </Empty>
      </Section>
    </Screen>
  );
}
