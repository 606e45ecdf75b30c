import './style.css';
import type { ComponentChildren } from 'preact';

type Tag = 'h1' | 'h2' | 'h3' | 'p' | 'span' | 'div';
type Tone = 'due' | 'red' | 'ok' | 'tide' | 'soft' | 'ink';

export interface WordsProps {
  as?: Tag;
  tone?: Tone | undefined;
  children: ComponentChildren;
}

const toned = (name: string, tone: Tone | undefined): string => (tone ? `${name} ${tone}` : name);

/** What Staveward reckons or advises, in a sentence. */
export function Say({ as: Name = 'p', tone, children }: WordsProps) {
  return <Name class={toned('say', tone)}>{children}</Name>;
}

/** The judgement a screen is about, in a word or three. */
export function Verdict({ as: Name = 'p', tone, children }: WordsProps) {
  return <Name class={toned('verdict', tone)}>{children}</Name>;
}

/** The one large figure of a screen. */
export function Mark({ as: Name = 'p', tone, children }: WordsProps) {
  return <Name class={toned('figure-mark', tone)}>{children}</Name>;
}

/** A barrel's name, as burnt into its head. */
export function Brand({ as: Name = 'span', tone, big, children }: WordsProps & { big?: boolean }) {
  return <Name class={toned(big ? 'brand brand--big' : 'brand', tone)}>{children}</Name>;
}

/** The title of a screen that is about no single barrel. */
export function Title({ as: Name = 'h1', tone, children }: WordsProps) {
  return <Name class={toned('title', tone)}>{children}</Name>;
}

/** A second line. */
export function Note({ as: Name = 'p', tone, children }: WordsProps) {
  return <Name class={toned('note', tone)}>{children}</Name>;
}
