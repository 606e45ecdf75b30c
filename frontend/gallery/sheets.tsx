import type { ComponentType } from 'preact';
import { useState } from 'preact/hooks';
import { AsOf } from '~/components/as-of/index.tsx';
import { BottleLevel } from '~/components/bottle-level/index.tsx';
import { Choice } from '~/components/choice/index.tsx';
import { DipRod } from '~/components/dip-rod/index.tsx';
import { radiusFor } from '~/components/draw/picture.ts';
import { Empty } from '~/components/empty/index.tsx';
import { EndView } from '~/components/end-view/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Loading } from '~/components/loading/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Parts } from '~/components/parts/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Range } from '~/components/range/index.tsx';
import { Rod, ScoreField } from '~/components/rod/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sentence } from '~/components/sentence/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveLine } from '~/components/stave-line/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { ProudRow, StaveRow } from '~/components/stave-row/index.tsx';
import { ThemeChoice } from '~/components/theme-choice/index.tsx';
import { WaterLine } from '~/components/water-line/index.tsx';
import { WoodPlank } from '~/components/wood-plank/index.tsx';
import { Brand, Mark, Note, Say, Title, Verdict } from '~/components/words/index.tsx';
import { LookDrawing } from '~/pages/lessons/look.tsx';
import { RollDrawing } from '~/pages/lessons/roll.tsx';
import { WalkDrawing } from '~/pages/lessons/walk.tsx';
import { LessonFor } from '~/pages/parts/lesson-for.tsx';
import * as barrels from './barrels.ts';

const DAY = 86_400_000;
const now = Date.UTC(2026, 2, 12);

function Member() {
  return (
    <Screen
      title="Staveward"
      glow="right"
      top={{ left: 'Wrackmouth Boat Club', right: 'Sedge' }}
      sill={
        <Sill
          left={{ label: 'Barrels', href: '#' }}
          act={{ label: 'Scan', href: '#' }}
          right={{ label: 'Mine', href: '#' }}
        />
      }
    >
      <Parts
        picture={
          <WaterLine
            barrel={{ ...barrels.slackWater, sharers: undefined }}
            side="right"
            radius={156}
            above={
              <Brand as="h2" big>
                Slack Water
              </Brand>
            }
            below={
              <>
                <Note>Week 5 of rye with herbal aperitif. Yours, with Wick and Marl.</Note>
                <Say>
                  <span class="due">Taste due today.</span>
                  <br />
                  Probably best in weeks 6 to 9.
                </Say>
              </>
            }
          />
        }
      >
        <StaveList>
          <StaveRow
            name="Lee Shore"
            href="#"
            picture={<EndView barrel={barrels.leeShore} radius={radiusFor(10)} cut="left" />}
          >
            Week 11 of rum with coffee liqueur. Two shares of six are yours. Next taste Sunday.
          </StaveRow>
          <StaveRow
            name="Fairway"
            href="#"
            picture={<EndView barrel={barrels.fairway} radius={radiusFor(5)} cut="left" />}
          >
            Your next fill, pencilled from Saturday 4 April. The keeper has not confirmed it yet.
          </StaveRow>
          <StaveRow
            title="Six bottles are yours"
            href="#"
            figure={<BottleLevel level={0.5} label="A bottle, half full" />}
          >
            One from Ebb is half full. Best before 30 April, for quality.
          </StaveRow>
        </StaveList>
      </Parts>
    </Screen>
  );
}

function Keeper() {
  return (
    <Screen
      title="Staveward"
      glow="right"
      top={{ left: 'Under the boathouse', right: <AsOf kind="no-signal" time="17:52" unsent={3} /> }}
      sill={
        <Sill
          left={{ label: 'Scan', href: '#' }}
          act={{ label: 'Start the walk', href: '#' }}
          right={{ label: 'More', href: '#' }}
        />
      }
    >
      <Parts
        picture={
          <WaterLine
            barrel={barrels.overfall}
            side="right"
            radius={150}
            above={
              <Brand as="h2" big tone="red">
                Overfall
              </Brand>
            }
            below={
              <>
                <Verdict>Will not seal.</Verdict>
                <Note>Day 5. Some 25 to 35 mL a day still leaves at two joints; tight would be 8.</Note>
                <Press tone="red" href="#">
                  What to try next
                </Press>
              </>
            }
          />
        }
      >
        <StaveList>
          <ProudRow
            tone="red"
            name="Neap"
            href="#"
            picture={<EndView barrel={barrels.neap} radius={radiusFor(3.6)} cut="left" />}
          >
            Water not changed for 16 days, and low. The upper staves are drying.
          </ProudRow>
          <StaveRow title="Nine barrels are due" href="#">
            Rolls, two tastes, a water change: about 25 minutes. Wick has marked three already.
          </StaveRow>
          <StaveRow title="Fairway from 4 April is wanted twice" href="#">
            Sedge asked first; Pell’s mix suits the wood better.
          </StaveRow>
          <StaveRow title="One entry needs you" href="#">
            A taste of Ebb, dated before Ebb was filled.
          </StaveRow>
        </StaveList>
      </Parts>
    </Screen>
  );
}

function Barrel() {
  return (
    <Screen
      title="Slack Water"
      glow="left"
      top={{ back: { href: '#', label: 'Barrels' }, right: <AsOf kind="fresh" time="18:40" /> }}
      sill={
        <Sill
          left={{ label: 'Trouble', tone: 'red', onPress: () => undefined }}
          act={{ label: 'Taste', href: '#' }}
          right={{ label: 'Log', href: '#' }}
        />
      }
    >
      <Parts
        picture={
          <WaterLine
            barrel={barrels.slackWater}
            side="left"
            radius={150}
            above={
              <>
                <Brand as="h1" big>
                  Slack Water
                </Brand>
                <Note>
                  <Range low={0.32} high={0.53} unit="L" origin="calculated" wordless /> gone
                </Note>
              </>
            }
            below={
              <>
                <Range low={4.1} high={4.3} unit="L" origin="calculated" size="figure" />
                <Note>
                  <Range low={31} high={33} unit="% vol" origin="calculated" />
                </Note>
                <Note>wood for one to three more fills</Note>
              </>
            }
          />
        }
      >
        <Section class="stack">
          <Say>Leave it. Probably best in weeks 6 to 9.</Say>
          <Note>Waiting one more week helps: about 4 chances in 5.</Note>
          <StaveLine
            from={now - 420 * DAY}
            to={now + 120 * DAY}
            now={now}
            stays={[
              { kind: 'curing', from: now - 420 * DAY, to: now - 408 * DAY },
              { kind: 'fill', from: now - 408 * DAY, to: now - 316 * DAY, name: 'rye', oak: 'strong' },
              { kind: 'hold', from: now - 316 * DAY, to: now - 298 * DAY },
              { kind: 'fill', from: now - 298 * DAY, to: now - 202 * DAY, name: 'rum' },
              { kind: 'hold', from: now - 202 * DAY, to: now - 180 * DAY },
              { kind: 'fill', from: now - 180 * DAY, to: now - 60 * DAY, name: 'rye with bitters' },
              { kind: 'hold', from: now - 60 * DAY, to: now - 35 * DAY },
              { kind: 'fill', from: now - 35 * DAY, to: null, name: 'rye with aperitif' },
            ]}
            booked={[{ from: now + 7 * DAY, to: now + 63 * DAY, state: 'pencilled', name: 'Sedge' }]}
          />
          <div class="row note">
            <span>four fills since last January</span>
            <span class="due">week 5</span>
          </div>
        </Section>
      </Parts>
    </Screen>
  );
}

function Taste() {
  const query = new URLSearchParams(location.search).get('score');
  const [score, setScore] = useState<number | undefined>(query === null ? undefined : Number(query));
  const [oak, setOak] = useState<number | undefined>(0);
  const hand = new URLSearchParams(location.search).get('hand') === 'left' ? 'left' : 'right';
  return (
    <Screen
      title="Taste"
      glow="right"
      top={{ back: { href: '#', label: 'Back' }, right: 'Sedge, today 18:42' }}
      sill={
        <Sill
          left={{ label: 'Leave', href: '#' }}
          act={{ label: 'Save', onPress: () => undefined, lit: score !== undefined }}
          right={{ label: 'Blind', onPress: () => undefined }}
        />
      }
    >
      <Section>
        <Brand as="h1" big>
          Slack Water
        </Brand>
        <Note>Week 5. Your 10 mL; 40 of 80 mL used.</Note>
      </Section>
      <div class="gap4">
        <Rod
          value={score}
          onChange={setScore}
          hand={hand}
          hint="What the others gave shows when yours is saved."
        />
      </div>
      <Section class="gap4">
        <PressGroup
          label="Oak"
          value={oak}
          onChange={setOak}
          none
          options={[
            { value: -1, label: 'too little' },
            { value: 0, label: 'right' },
            { value: 1, label: 'too much' },
          ]}
        />
        <div class="row gap2">
          <button type="button" class="link">
            Something off?
          </button>
          <button type="button" class="link">
            Say more
          </button>
        </div>
      </Section>
    </Screen>
  );
}

function Walk() {
  return (
    <Screen
      title="Today’s walk"
      glow="top"
      top={{ left: 'Under the boathouse, Thursday 12 March', right: <AsOf kind="no-signal" /> }}
      sill={
        <Sill
          left={{ label: 'Trouble', tone: 'red', href: '#' }}
          act={{ label: 'Scan', href: '#' }}
          right={{ label: 'Climate', href: '#' }}
        />
      }
    >
      <Section>
        <Title>Today’s walk</Title>
        <Note>
          Three of nine done, about 15 minutes left. Your marks stay on this phone until there is signal.
        </Note>
      </Section>
      <StaveList as="ol">
        <ProudRow
          tone="red"
          name="Neap"
          picture={<EndView barrel={barrels.neap} radius={radiusFor(2)} cut="left" />}
          aside={<Press href="#">Open</Press>}
        >
          Change the water. It is late since 3 March.
        </ProudRow>
        <StaveRow
          name="Slack Water"
          picture={
            <EndView
              barrel={{ ...barrels.slackWater, sharers: undefined }}
              radius={radiusFor(5)}
              cut="left"
            />
          }
          aside={<Press>All well</Press>}
        >
          Roll, look, spigot. A taste is due.
        </StaveRow>
        <StaveRow
          name="Lee Shore"
          picture={<EndView barrel={barrels.leeShore} radius={radiusFor(10)} cut="left" />}
          aside={<Press>All well</Press>}
        >
          Roll, look, spigot. Weigh it, if the scale is here.
        </StaveRow>
        <StaveRow
          name="Spring Tide"
          picture={<EndView barrel={barrels.springTide} radius={radiusFor(20)} cut="left" />}
          aside={<Press>All well</Press>}
        >
          Roll, look, spigot. 27 kg full: roll it, two to lift.
        </StaveRow>
        <StaveRow
          name="Fairway"
          tone="done"
          picture={<EndView barrel={barrels.fairway} radius={radiusFor(5)} cut="left" />}
          aside={<span class="ok tick">Wick, 17:40</span>}
        >
          Turned to 8 o’clock, water changed.
        </StaveRow>
      </StaveList>
      <Section class="row">
        <Note>
          Next, <b>the loft</b>: two barrels.
        </Note>
        <button type="button" class="link">
          Done Sunday
        </button>
      </Section>
    </Screen>
  );
}

function Hold() {
  return (
    <Screen
      title="Neap"
      glow="right"
      top={{ back: { href: '#', label: 'Barrels' }, right: 'as of 19:05' }}
      sill={
        <Sill
          left={{ label: 'Trouble', tone: 'red', href: '#' }}
          act={{ label: 'Water changed', href: '#' }}
          right={{ label: 'Top up', href: '#' }}
        />
      }
    >
      <WaterLine
        barrel={barrels.neap}
        side="right"
        radius={152}
        above={
          <>
            <Brand as="h1" big>
              Neap
            </Brand>
            <Mark tone="red">16 days</Mark>
            <p class="lead">since the water was changed</p>
          </>
        }
        below={
          <>
            <Range low={0.83} high={0.9} unit="L" origin="calculated" size="figure" />
            <Note>of 2 L, below the half mark. The upper staves are drying.</Note>
            <Note>Bung at 8 o’clock. Next 12, bung up.</Note>
          </>
        }
      />
      <Section class="stack">
        <Say>Smell it, empty it, rinse till clear, fill to 66 mm.</Say>
        <Note>A dose of spirit is scent, not protection.</Note>
      </Section>
    </Screen>
  );
}

function Reserve() {
  const [litres, setLitres] = useState('5');
  return (
    <Screen
      title="Reserve"
      top={{ back: { href: '#', label: 'Back' }, right: 'as of 17:50' }}
      sill={
        <Sill
          left={{ label: 'Change', href: '#' }}
          act={{ label: 'Pencil Fairway', href: '#' }}
          right={{ label: 'Dates', href: '#' }}
        />
      }
    >
      <Section>
        <Sentence
          parts={[
            'I want to fill ',
            {
              id: 'litres',
              label: 'How much?',
              text: `${litres} L`,
              value: litres,
              onChange: setLitres,
              options: [
                { value: '2', label: '2 L', hint: 'three barrels' },
                { value: '5', label: '5 L', hint: 'four barrels' },
                { value: '10', label: '10 L', hint: 'two barrels' },
              ],
            },
            ' of ',
            { id: 'what', label: 'What?', text: 'rye with aperitif' },
            ' from ',
            { id: 'from', label: 'From when?', text: '4 April' },
            ' for ',
            { id: 'weeks', label: 'How long?', text: 'about 8 weeks' },
            ', and I like the oak ',
            { id: 'oak', label: 'How much oak?', text: 'gentle' },
            '.',
          ]}
        />
      </Section>
      <StaveList as="ol">
        <ProudRow
          tone="lamp"
          name="Fairway"
          picture={<EndView barrel={barrels.fairway} radius={42} cut="left" />}
          onPress={() => undefined}
        >
          <p class="due">suits best</p>
          <p class="reck">Held rye last; leaves 1 to 2 % of it, which suits. Its oak is gentle now.</p>
          <StaveLine
            height={24}
            from={now}
            to={now + 130 * DAY}
            now={now}
            stays={[{ kind: 'hold', from: now - 20 * DAY, to: now + 23 * DAY }]}
            booked={[{ from: now + 23 * DAY, to: now + 79 * DAY, state: 'pencilled' }]}
          />
          4 April to 30 May, then free
        </ProudRow>
        <StaveRow name="Ebb" picture={<EndView barrel={barrels.riptide} radius={42} cut="left" />} href="#">
          <b>Free two weeks later.</b> Held agave with dry sherry: you would taste it, 2 to 4 %. Oak medium.
        </StaveRow>
      </StaveList>
      <Section>
        <Note>
          <b>Not this time:</b> Neap holds 2 L. Doldrum’s wood is spent.
        </Note>
      </Section>
    </Screen>
  );
}

function Pieces() {
  const [open, setOpen] = useState(new URLSearchParams(location.search).has('open'));
  const [text, setText] = useState('82');
  const [spirit, setSpirit] = useState('rye');
  const [score, setScore] = useState<number | undefined>(7.5);
  return (
    <Screen
      title="Pieces"
      heading="Pieces"
      top={{ left: 'Pieces', right: <AsOf kind="fresh" time="18:40" unsent={3} /> }}
      sill={<Sill act={{ label: 'Open a sheet', onPress: () => setOpen(true) }} />}
    >
      <Notice act={<Press>Sign in</Press>}>
        The server did not answer. Your taste is kept. It will try again.
      </Notice>
      <Section class="stack gap5">
        <Say>
          Seven fills hold <Range low={72.6} high={73.9} unit="litres" origin="calculated" size="say" />.
        </Say>
        <p>
          <Range low={0.62} high={0.68} unit="L" origin="guessed" />
        </p>
        <p>
          <Range low={27.6} high={28.2} unit="L" origin="calculated" join="dash" wordless />{' '}
          <span class="soft">of 29.2</span>
        </p>
        <div class="row">
          <DipRod contents="spirit" levelLow={0.75} levelHigh={0.79} label="three quarters" />
          <DipRod contents="pale" levelLow={0.85} levelHigh={0.86} />
          <DipRod contents="water" levelLow={0.45} levelHigh={0.47} />
          <DipRod contents="empty" />
          <WoodPlank usedLow={0.1} usedHigh={0.2} />
          <WoodPlank usedLow={0.4} usedHigh={0.7} />
          <WoodPlank usedLow={1} usedHigh={1} />
          <BottleLevel level={1} label="full" />
          <BottleLevel level={0.75} label="three quarters" />
          <BottleLevel level={0.2} label="nearly empty" />
        </div>
        <div class="row">
          <EndView barrel={barrels.bare} radius={44} />
          <EndView barrel={barrels.quarantined} radius={44} />
          <EndView barrel={barrels.hidden} radius={44} />
          <EndView barrel={barrels.riptide} radius={44} />
          <EndView barrel={barrels.slackWater} radius={18} />
        </div>
        <div class="row">
          <Press>Plain</Press>
          <Press tone="go">Go on</Press>
          <Press tone="red">Give up</Press>
          <Press chosen>Chosen</Press>
          <Press disabled>Not now</Press>
          <Press busy="Saving">Save</Press>
        </div>
        <ThemeChoice />
        <Field
          label="Strength"
          unit="% vol"
          type="number"
          value={text}
          onInput={setText}
          error="82 % vol is stronger than this wood may hold."
          allowed="20 to 63.5 % vol"
        />
        <Field label="Name" value="Sedge" onInput={() => undefined} hint="As the club knows you." />
        <Field label="Note" value="" multiline onInput={() => undefined} />
        <Choice
          label="Spirit"
          value={spirit}
          onChange={setSpirit}
          options={[
            { value: 'rye', label: 'Rye' },
            { value: 'rum', label: 'Rum' },
          ]}
        />
        <ScoreField value={score} onChange={setScore} />
        <LessonFor name="look" drawing={<LookDrawing />} />
        <LessonFor name="roll" drawing={<RollDrawing />} />
        <LessonFor name="walk" drawing={<WalkDrawing />} />
      </Section>
      <Empty>
        <p>No barrels yet. Add the first.</p>
        <Press tone="go">Add a barrel</Press>
      </Empty>
      <Loading />
      <Sheet open={open} onClose={() => setOpen(false)} title="Something off?">
        <PressGroup
          label="What do you notice?"
          value={undefined as string | undefined}
          onChange={() => undefined}
          options={['mould', 'vinegar', 'sulphur', 'solvent', 'nothing of these'].map((word) => ({
            value: word,
            label: word,
          }))}
        />
      </Sheet>
    </Screen>
  );
}

export const sheets: Record<string, ComponentType> = {
  member: Member,
  keeper: Keeper,
  barrel: Barrel,
  taste: Taste,
  walk: Walk,
  hold: Hold,
  reserve: Reserve,
  pieces: Pieces,
};
