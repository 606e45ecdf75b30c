import { Empty } from '~/components/empty/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Title } from '~/components/words/index.tsx';

/** An address that leads nowhere. */
export function NotFound() {
  return (
    <Screen title="Nothing here" top={{ back: { href: '/', label: 'Home' } }}>
      <Section>
        <Title>Nothing here</Title>
        <Empty>
          <p>This address leads nowhere. A tag’s code can be typed under Scan.</p>
          <Press href="/">Home</Press>
        </Empty>
      </Section>
    </Screen>
  );
}
