/** What a club should have asked about local law, by the name of its answer. We do not know the law where you are. */

export interface LawAnswer {
  answer: string;
  /** Where it stands, or who said it. */
  source?: string;
  asked_on?: string;
}

export const LAW: { key: string; title: string; question: string }[] = [
  { key: 'use', title: 'What it is for', question: 'Is this for the club alone, or sold?' },
  {
    key: 'authority_asked',
    title: 'The authority',
    question: 'Has somebody asked the licensing authority?',
  },
  { key: 'age_limit_years', title: 'Age', question: 'From what age may people drink here?' },
];

const text = (value: unknown): string =>
  typeof value === 'string' ? value : typeof value === 'number' ? String(value) : '';

/** The answer to one question; null while nobody has given it. */
export function lawAnswer(law: Readonly<Record<string, unknown>>, key: string): LawAnswer | null {
  const said = law[key];
  if (typeof said !== 'object' || said === null) return text(said) ? { answer: text(said) } : null;
  const { answer, source, asked_on } = said as Record<string, unknown>;
  if (!text(answer)) return null;
  return {
    answer: text(answer),
    ...(text(source) ? { source: text(source) } : {}),
    ...(text(asked_on) ? { asked_on: text(asked_on) } : {}),
  };
}

/** All answers with one of them changed, or taken out where nothing was typed; the others stay as they are. */
export function withAnswer(
  law: Readonly<Record<string, unknown>>,
  key: string,
  typed: LawAnswer,
): Record<string, LawAnswer> {
  const kept = Object.keys(law)
    .filter((name) => name !== key)
    .map((name) => [name, lawAnswer(law, name)] as const)
    .filter((pair): pair is [string, LawAnswer] => pair[1] !== null);
  const answer = typed.answer.trim();
  const source = typed.source?.trim();
  const own: LawAnswer = {
    answer,
    ...(source ? { source } : {}),
    ...(typed.asked_on ? { asked_on: typed.asked_on } : {}),
  };
  return Object.fromEntries(answer ? [...kept, [key, own]] : kept);
}
