import { useState } from 'preact/hooks';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Note, Title } from '~/components/words/index.tsx';
import type { ShownBarrel } from '~/outbox/overlay.ts';
import { vessels } from '~/outbox/overlay-glass.ts';
import { recipes } from '~/outbox/recipes.ts';
import { MixDrawing } from '../lessons/mix.tsx';
import { Fresh } from '../parts/fresh.tsx';
import { LessonFor } from '../parts/lesson-for.tsx';
import { mayWork } from '../parts/my-liquid.ts';
import { capacityWords } from '../words/barrel.ts';
import { EMPTY_BELOW_L, leftWords, vesselName, vesselStrengthWords, whyNotPoured } from '../words/glass.ts';
import { type MixDraft, mixFromRecipe } from '../words/mix-plan.ts';
import { mixFromVessel, mostOf } from '../words/mix-vessel.ts';
import { capital } from '../words/numbers.ts';
import { recipeLine } from '../words/recipe.ts';
import { PlainSheet } from './plain-sheet.tsx';
import { VesselSheet } from './vessel.tsx';

interface ChooseRecipeProps {
  barrel: ShownBarrel;
  /** The vessel somebody came from. */
  from?: string | undefined;
  onChosen: (draft: MixDraft) => void;
}

/** From which recipe; or one spirit as it is; or what came out of a barrel before. */
export function ChooseRecipe({ barrel, from, onChosen }: ChooseRecipeProps) {
  const [isPlain, setPlain] = useState(false);
  const [out, setOut] = useState<string | null>(from ?? null);
  const inGlass = vessels.value.filter((vessel) => vessel.left_l > EMPTY_BELOW_L);
  const shown = recipes.value.filter((recipe) => !recipe.is_put_away);
  return (
    <Screen
      title={`Mix for ${barrel.name}`}
      top={{ back: { href: `/barrels/${barrel.id}`, label: barrel.name }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Leave', href: `/barrels/${barrel.id}` }}
          act={{ label: 'A plain spirit', onPress: () => setPlain(true) }}
          right={{ label: 'Write one', href: '/recipes/new' }}
        />
      }
    >
      <Section>
        <Title>What goes into {barrel.name}?</Title>
        <Note>It holds {capacityWords(barrel)}. The amounts are worked out for it.</Note>
      </Section>
      <Section class="gap4">
        <LessonFor name="mix" drawing={<MixDrawing />} />
      </Section>
      <div class="gap4">
        {shown.length === 0 ? (
          <Section>
            <Note>No recipe is in the book yet.</Note>
          </Section>
        ) : (
          <StaveList label="Recipes">
            {shown.map((recipe) => (
              <StaveRow
                key={recipe.id}
                title={capital(recipe.name)}
                aside={
                  <Press onPress={() => onChosen(mixFromRecipe(recipe, recipe.here_version))}>
                    Take it<span class="sr">: {recipe.name}</span>
                  </Press>
                }
              >
                {recipeLine(recipe)}
              </StaveRow>
            ))}
          </StaveList>
        )}
      </div>
      {inGlass.length > 0 && (
        <div class="gap5">
          <Section>
            <h2 class="lead b">Out of a vessel</h2>
          </Section>
          <StaveList label="Vessels">
            {inGlass.map((vessel) => {
              const refused = whyNotPoured(vessel, mayWork(vessel));
              return (
                <StaveRow
                  key={vessel.id}
                  title={capital(vesselName(vessel))}
                  {...(refused
                    ? {}
                    : {
                        aside: (
                          <Press onPress={() => setOut(vessel.id)}>
                            Pour from it<span class="sr">: {vesselName(vessel)}</span>
                          </Press>
                        ),
                      })}
                >
                  <p>
                    {leftWords(vessel)}; {vesselStrengthWords(vessel)}
                  </p>
                  {refused && <Note>{refused}</Note>}
                </StaveRow>
              );
            })}
          </StaveList>
        </div>
      )}
      {out !== null && (
        <VesselSheet
          unit="L"
          from={out}
          proposed_l={(vessel) => mostOf(vessel, barrel.capacity_l)}
          onTaken={(vessel, volume_l) => onChosen(mixFromVessel(vessel, volume_l))}
          onClose={() => setOut(null)}
        />
      )}
      {isPlain && <PlainSheet onClose={() => setPlain(false)} onChosen={onChosen} />}
    </Screen>
  );
}
