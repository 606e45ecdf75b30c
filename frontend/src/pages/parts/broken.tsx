import { Empty } from '~/components/empty/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Title } from '~/components/words/index.tsx';

/** A screen that could not be fetched or drawn. What was written is safe: it was kept before it was shown. */
export function Broken() {
  return (
    <Screen title="Not shown" top={{ back: { href: '/', label: 'Home' } }}>
      <Section>
        <Title>This screen could not be shown</Title>
        <Empty>
          <p>What you wrote is kept on this device. Load the app again; it may need signal for that.</p>
          <Press tone="go" onPress={() => location.reload()}>
            Load again
          </Press>
          <p class="gap3">
            <a class="link" href="/not-yet-sent">
              Not yet sent
            </a>
          </p>
        </Empty>
      </Section>
    </Screen>
  );
}
