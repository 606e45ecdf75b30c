import './style.css';
import type { ComponentChildren } from 'preact';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { session } from '~/api/session.ts';
import { Notice } from '~/components/notice/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Rod } from '~/components/rod/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { draft as draftOf } from '~/store/drafts.ts';
import { moment } from '../parts/clock.ts';
import type { Kept } from '../parts/keep.ts';
import { capital } from '../words/numbers.ts';
import { isAlarming, OAK_CHOICES, type TasteDraft } from '../words/taste.ts';
import { nearTime } from '../words/time.ts';
import { ProfileSheet } from './profile-sheet.tsx';
import { MoreSheet, OffSheet } from './sheets.tsx';

export interface Saying {
  draft: TasteDraft;
  save: (next: TasteDraft) => void;
  /** Removes the draft, once it is kept. */
  clear: () => Promise<void>;
  problem: string;
  setProblem: (words: string) => void;
  isBusy: boolean;
  /** Keeps once, however often it is pressed, and says why where it cannot. */
  keepOnce: (keeping: () => Promise<Kept>) => Promise<Kept | null>;
  /** Who says it and when they began, for the top line. */
  who: string;
}

/** What is being said of one glass, kept as a draft until it is saved. */
export function useSaying(key: string, start: TasteDraft): Saying {
  const now = moment();
  const handle = useMemo(() => draftOf<TasteDraft>(key), [key]);
  const [problem, setProblem] = useState('');
  const [isBusy, setBusy] = useState(false);
  const [opened] = useState(now.now_ms);
  useEffect(() => () => void handle.flush(), [handle]);
  return {
    draft: handle.value.value ?? start,
    save: (next) => handle.save(next),
    clear: () => handle.clear(),
    problem,
    setProblem,
    isBusy,
    keepOnce: async (keeping) => {
      if (isBusy) return null;
      setBusy(true);
      const kept = await keeping();
      setBusy(false);
      setProblem(kept.ok ? '' : kept.words);
      return kept;
    },
    who: `${session.value.person?.name ?? ''}, ${nearTime(opened, now)}`,
  };
}

export interface SayingFormProps {
  saying: Saying;
  /** Over the rod: what is in the glass, as far as its taster may know. */
  head: ComponentChildren;
  hint: string;
  /** Said where something alarming is ticked. */
  alarm?: string;
  /** That one's earlier score gives way. */
  again?: string | false | null | undefined;
  /** Under what is wrong. */
  children: ComponentChildren;
}

/** One glass, known by name or by number: a rod, the oak, what is off, and more for who wants to say it. */
export function SayingForm({ saying, head, hint, alarm, again, children }: SayingFormProps) {
  const { draft, save, problem, setProblem } = saying;
  const [sheet, setSheet] = useState<'off' | 'more' | 'profile' | null>(null);
  const change = (part: Partial<TasteDraft>): void => save({ ...draft, ...part });
  return (
    <>
      <div class="taste">
        <div class="taste__rod">
          <Section>{head}</Section>
          <div class="gap3">
            <Rod
              value={draft.liking}
              onChange={(liking) => {
                setProblem('');
                change({ liking });
              }}
              hint={hint}
            />
          </div>
        </div>
        <Section class="taste__rest">
          <PressGroup
            label="Oak"
            options={OAK_CHOICES}
            value={draft.oak}
            onChange={(oak) => {
              const { oak: _, ...rest } = draft;
              save(oak === undefined ? rest : { ...rest, oak });
            }}
            none
          />
          <div class="row">
            <button type="button" class="link" onClick={() => setSheet('off')}>
              {draft.off_notes.length > 0 ? `Off: ${draft.off_notes.length} ticked` : 'Something off?'}
            </button>
            <button type="button" class="link" onClick={() => setSheet('more')}>
              {draft.note || draft.profile ? 'What you said' : 'Say more'}
            </button>
          </div>
          {alarm && isAlarming(draft.off_notes) && <Notice tone="red">{alarm}</Notice>}
          {again && <p class="note">{again}</p>}
          {problem && <Notice tone="red">{capital(problem)}</Notice>}
          {children}
        </Section>
      </div>
      {sheet === 'off' && <OffSheet draft={draft} onChange={change} onClose={() => setSheet(null)} />}
      {sheet === 'more' && (
        <MoreSheet
          draft={draft}
          onChange={change}
          onClose={() => setSheet(null)}
          onProfile={() => setSheet('profile')}
        />
      )}
      {sheet === 'profile' && (
        <ProfileSheet draft={draft} onChange={change} onClose={() => setSheet('more')} />
      )}
    </>
  );
}
