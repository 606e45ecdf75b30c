import './style.css';
import { useState } from 'preact/hooks';
import { Loading } from '~/components/loading/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { club } from '~/outbox/overlay.ts';
import { outboxEntries } from '~/outbox/queue.ts';
import { Fresh } from '../parts/fresh.tsx';
import { keepEdit, keptWords } from '../parts/keep.ts';
import { isKeeper, myRole } from '../parts/me.ts';
import { NotAllowed } from '../parts/missing.tsx';
import {
  type CareLineSetting,
  careBody,
  careGroups,
  lineSentence,
  lineTitle,
  type Periods,
  withEdits,
} from '../words/care-settings.ts';
import { isClubWaiting } from '../words/club-settings.ts';
import { counted } from '../words/numbers.ts';
import { LineSheet } from './line-sheet.tsx';

/** How often each kind of care comes round in this club, and when it counts as late. */
export default function CareSettings() {
  const [edits, setEdits] = useState<ReadonlyMap<string, Partial<Periods>>>(new Map());
  const [strict, setStrict] = useState<boolean | null>(null);
  const [open, setOpen] = useState<CareLineSetting | null>(null);
  const [said, setSaid] = useState('');
  const [problem, setProblem] = useState('');
  const row = club.value;
  if (!isKeeper()) {
    return <NotAllowed title="Care" words="The keeper and the admins see how often care comes round." />;
  }
  const mayEdit = myRole() === 'admin';
  // An edit that waits was made against this version; a second one would contradict it.
  const isWaiting = row !== null && isClubWaiting(row, outboxEntries.value);
  const lines = row ? withEdits(row.care, edits) : [];
  const count = edits.size + (strict !== null && strict !== row?.strict_water ? 1 : 0);

  const save = async (): Promise<void> => {
    if (!row) return;
    const kept = await keepEdit('club', row.id, row.version, {
      care: careBody(row.care, edits),
      ...(strict === null ? {} : { strict_water: strict }),
    });
    setProblem(kept.ok ? '' : kept.words);
    if (!kept.ok) return;
    setEdits(new Map());
    setStrict(null);
    setSaid(keptWords());
  };

  const act =
    mayEdit && count > 0
      ? { label: `Save ${counted(count, 'change', 'changes')}`, onPress: () => void save() }
      : { label: 'Today’s walk', href: '/walk' };
  return (
    <Screen
      title="Care"
      announce={problem || said}
      top={{ back: { href: '/mine', label: 'More' }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Barrels', href: '/barrels' }}
          act={act}
          right={{ label: 'More', href: '/mine' }}
        />
      }
    >
      <Section>
        <Title>Care</Title>
        <p class="note gap2">
          How often each barrel is asked for, and when it counts as late. The walk follows these.
          {!mayEdit && ' An admin changes them.'}
        </p>
        {said && <p class="ok tick gap3">{said}</p>}
      </Section>
      {problem && <Notice tone="red">{problem}</Notice>}
      {isWaiting && <Notice>Your changes wait on this phone. They can be changed again once sent.</Notice>}
      {!row && <Loading />}
      {row && (
        <Section class="gap4">
          <label class="care-settings__strict">
            <input
              type="checkbox"
              checked={strict ?? row.strict_water}
              disabled={!mayEdit || isWaiting}
              onChange={(event) => setStrict(event.currentTarget.checked)}
            />
            <span>Strict water: change it at the strict pace in every room, not only above 20 °C.</span>
          </label>
        </Section>
      )}
      {careGroups(lines).map((group) => (
        <section key={group.title} class="gap5" aria-label={group.title}>
          <Section>
            <h2 class="lead b">{group.title}</h2>
          </Section>
          <div class="gap3">
            <StaveList label={group.title}>
              {group.lines.map((line) => (
                <StaveRow
                  key={line.line}
                  title={lineTitle(line)}
                  heading="h3"
                  {...(mayEdit && !isWaiting
                    ? {
                        aside: (
                          <Press onPress={() => setOpen(line)}>
                            Change<span class="sr"> {lineTitle(line)}</span>
                          </Press>
                        ),
                      }
                    : {})}
                >
                  {lineSentence(line)}
                  {line.is_changed && (
                    <span class="ink"> Usually: {lineSentence({ ...line, ...line.usual })}</span>
                  )}
                </StaveRow>
              ))}
            </StaveList>
          </div>
        </section>
      ))}
      {open && (
        <LineSheet
          line={open}
          onClose={() => setOpen(null)}
          onSet={(periods) => {
            setEdits(new Map(edits).set(open.line, periods));
            setOpen(null);
            setSaid('');
          }}
        />
      )}
    </Screen>
  );
}
