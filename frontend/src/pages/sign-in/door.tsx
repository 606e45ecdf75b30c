import './style.css';
import type { ComponentChildren } from 'preact';
import { EndView } from '~/components/end-view/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Title } from '~/components/words/index.tsx';

/** What stands at the door: the barrel, a title, and whatever is asked there. */
export function Door({
  title,
  heading,
  children,
}: {
  title: string;
  heading: string;
  children: ComponentChildren;
}) {
  return (
    <Screen title={title} glow="right">
      <div class="sign-in">
        <div class="sign-in__picture" aria-hidden="true">
          <EndView
            barrel={{
              name: '',
              tag: 'STAVE',
              capacityL: 5,
              contents: 'spirit',
              levelLow: 0.71,
              levelHigh: 0.74,
              woodUsedLow: 0.2,
              woodUsedHigh: 0.35,
            }}
            radius={150}
            cut="right"
            decorative
          />
        </div>
        <Section class="sign-in__words">
          <Title>{heading}</Title>
          {children}
        </Section>
      </div>
    </Screen>
  );
}
