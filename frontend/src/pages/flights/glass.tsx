import '../taste/style.css';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { session } from '~/api/session.ts';
import { Notice } from '~/components/notice/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Rod } from '~/components/rod/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { flightBy, type ShownFlight } from '~/outbox/flights.ts';
import { draft as draftOf } from '~/store/drafts.ts';
import { moment } from '../parts/clock.ts';
import { useGo } from '../parts/go.ts';
import { keep } from '../parts/keep.ts';
import { myId, nameOf } from '../parts/me.ts';
import { Missing, NotAllowed } from '../parts/missing.tsx';
import { ProfileSheet } from '../taste/profile-sheet.tsx';
import { MoreSheet, OffSheet } from '../taste/sheets.tsx';
import { tiredPalateWords } from '../words/evening.ts';
import { codesOf, ordinal } from '../words/flights.ts';
import { capital, unit } from '../words/numbers.ts';
import { isAlarming, OAK_CHOICES, saidOf, type TasteDraft } from '../words/taste.ts';
import { nearTime, today } from '../words/time.ts';

/** One glass of a blind flight: a number, a rod, oak, save. */
export function FlightGlass() {
  const { params } = useRoute();
  const flight = flightBy(params.id ?? '');
  const code = params.code ?? '';
  if (!flight || !codesOf(flight, myId()).includes(code)) {
    return <Missing what="No glass of yours has that number." />;
  }
  if (flight.opened_at !== null) {
    return <NotAllowed title={code} words="The names are known by now. Log it as a taste of its barrel." />;
  }
  return <Room key={code} flight={flight} code={code} />;
}

function Room({ flight, code }: { flight: ShownFlight; code: string }) {
  const now = moment();
  const go = useGo();
  const handle = useMemo(() => draftOf<TasteDraft>(`flight:${flight.id}:${code}`), [flight.id, code]);
  const draft = handle.value.value ?? { off_notes: [], note: '', sample_ml: flight.sample_ml };
  const [sheet, setSheet] = useState<'off' | 'more' | 'profile' | null>(null);
  const [problem, setProblem] = useState('');
  const [isBusy, setBusy] = useState(false);
  const [opened] = useState(now.now_ms);
  useEffect(() => () => void handle.flush(), [handle]);
  const change = (part: Partial<TasteDraft>): void => handle.save({ ...draft, ...part });
  const position = codesOf(flight, myId()).indexOf(code) + 1;
  const before = flight.mine.find((score) => score.code === code);
  const tired = tiredPalateWords(position);
  const table = `/flights/${flight.id}`;

  const save = async (): Promise<void> => {
    const said = saidOf(draft);
    if (!said) {
      setProblem('Tap the rod first.');
      return;
    }
    if (isBusy) return;
    setBusy(true);
    const body = { flight: flight.id, code, tasted_on: today(now), ...said };
    const kept = await keep('blind-tastings', before ? { ...body, replaces: before.act } : body);
    setBusy(false);
    if (!kept.ok) {
      setProblem(kept.words);
      return;
    }
    await handle.clear();
    go(table);
  };

  return (
    <Screen
      title={`Glass ${code}`}
      glow="right"
      announce={problem}
      top={{
        back: { href: table, label: 'Glasses' },
        right: `${session.value.person?.name ?? ''}, ${nearTime(opened, now)}`,
      }}
      sill={
        <Sill
          left={{ label: 'Leave', onPress: () => go(table) }}
          act={{
            label: isBusy ? 'Saving' : 'Save',
            lit: draft.liking !== undefined,
            onPress: () => void save(),
          }}
        />
      }
    >
      <div class="taste">
        <div class="taste__rod">
          <Section>
            <Title>{code}</Title>
            <p class="note gap2">
              {capital(ordinal(position))} of {flight.glasses}, {unit(flight.sample_ml, 'mL')}. Poured by{' '}
              {nameOf(flight.pourer)}.
            </p>
            {tired && <p class="note due">{tired}</p>}
          </Section>
          <div class="gap3">
            <Rod
              value={draft.liking}
              onChange={(liking) => {
                setProblem('');
                change({ liking });
              }}
              hint="Names and the others’ scores show when all have finished."
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
              handle.save(oak === undefined ? rest : { ...rest, oak });
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
          {isAlarming(draft.off_notes) && (
            <Notice tone="red">
              Spit it out and tell {nameOf(flight.pourer)} now: they know which barrel it is.
            </Notice>
          )}
          {before && <p class="note">You scored it already; this one takes its place.</p>}
          {problem && <Notice tone="red">{capital(problem)}</Notice>}
          <p class="note">Water, a cracker and two minutes before the next. Spitting is fine.</p>
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
    </Screen>
  );
}
