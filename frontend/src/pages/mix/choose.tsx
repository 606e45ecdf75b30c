import { useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
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
import { capacityWords } from '../words/barrel.ts';
import { type MixDraft, mixFromRecipe, mixFromVessel, plainMix } from '../words/mix-plan.ts';
import { capital, litres } from '../words/numbers.ts';
import { recipeLine } from '../words/recipe.ts';
import { FILL_KINDS } from '../words/reserve.ts';
import { typedNumber } from '../words/typed.ts';

interface ChooseRecipeProps {
  barrel: ShownBarrel;
  onChosen: (draft: MixDraft) => void;
}

/** From which recipe; or one spirit, as it is. */
export function ChooseRecipe({ barrel, onChosen }: ChooseRecipeProps) {
  const [isPlain, setPlain] = useState(false);
  // Whose strength nobody knows cannot be mixed with.
  const inGlass = vessels.value.filter((vessel) => vessel.left_l > 0.01 && vessel.abv_pct !== null);
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
            {inGlass.map((vessel) => (
              <StaveRow
                key={vessel.id}
                title={capital(vessel.name || 'A vessel')}
                aside={
                  <Press onPress={() => onChosen(mixFromVessel(vessel, barrel.capacity_l))}>
                    Take it<span class="sr">: {vessel.name}</span>
                  </Press>
                }
              >
                {litres(vessel.left_l)} at {Number((vessel.abv_pct ?? 0).toFixed(1))}
                {'\u00a0'}% vol
              </StaveRow>
            ))}
          </StaveList>
        </div>
      )}
      {isPlain && <PlainSheet onClose={() => setPlain(false)} onChosen={onChosen} />}
    </Screen>
  );
}

function PlainSheet({ onClose, onChosen }: { onClose: () => void; onChosen: (draft: MixDraft) => void }) {
  const [name, setName] = useState('');
  const [kind, setKind] = useState(FILL_KINDS[0]?.value ?? '');
  const [strength, setStrength] = useState('');
  const [wrong, setWrong] = useState<{ name?: string; strength?: string }>({});
  const take = (event: Event): void => {
    event.preventDefault();
    const abv = typedNumber(strength);
    const found = {
      ...(name.trim() === '' ? { name: 'It needs a name, as it will stand in the log.' } : {}),
      ...(abv === null || abv < 0 || abv > 97 ? { strength: 'That is no strength of a spirit.' } : {}),
    };
    setWrong(found);
    const chosen = FILL_KINDS.find((one) => one.value === kind);
    if (Object.keys(found).length > 0 || !chosen || abv === null) return;
    onChosen(plainMix(name.trim(), chosen.spirit, chosen.family, abv));
  };
  return (
    <Sheet open onClose={onClose} title="A plain spirit" closeLabel="Leave it">
      <form class="stack" onSubmit={take} noValidate>
        <Field label="Its name" value={name} onInput={setName} maxLength={80} error={wrong.name} />
        <label class="field">
          <span class="field__label">What it is</span>
          <select class="field__input" value={kind} onChange={(event) => setKind(event.currentTarget.value)}>
            {FILL_KINDS.map((one) => (
              <option key={one.value} value={one.value}>
                {one.label}
              </option>
            ))}
          </select>
        </label>
        <Field
          label="Strength on its label"
          inputMode="decimal"
          unit="% vol"
          value={strength}
          onInput={setStrength}
          error={wrong.strength}
          allowed={wrong.strength ? '0 to 97 % vol' : undefined}
        />
        <Press type="submit" tone="go" full>
          Take it
        </Press>
      </form>
    </Sheet>
  );
}
