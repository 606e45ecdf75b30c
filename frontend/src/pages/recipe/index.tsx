import '../mix/style.css';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import type { Ingredient } from '~/api/types.ts';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Loading } from '~/components/loading/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Note, Title } from '~/components/words/index.tsx';
import { club } from '~/outbox/overlay.ts';
import { recipeBy, type ShownRecipe } from '~/outbox/recipes.ts';
import { draft as draftOf } from '~/store/drafts.ts';
import { AllergenTicks, NumberField } from '../mix/amounts.tsx';
import { Fresh } from '../parts/fresh.tsx';
import { useGo } from '../parts/go.ts';
import { keep, keepEdit } from '../parts/keep.ts';
import { isKeeper } from '../parts/me.ts';
import { Missing } from '../parts/missing.tsx';
import { assumedSugarGL, hasLabelToRead, KIND_OPTIONS } from '../words/ingredients.ts';
import { amountText, typedAmountL, UNIT_OPTIONS } from '../words/mix.ts';
import type { AmountUnit } from '../words/mix-plan.ts';
import { capital } from '../words/numbers.ts';
import {
  formBody,
  formChanges,
  formOf,
  formProblems,
  newForm,
  newPart,
  type RecipeForm,
  type RecipeFormPart,
  strengthOf,
} from '../words/recipe.ts';
import { FILL_KINDS } from '../words/reserve.ts';

/** One recipe: read by whoever may, written by whose it is. */
export default function RecipePage() {
  const { params } = useRoute();
  const id = params.id ?? '';
  if (id === 'new') return <Form key="new" />;
  const recipe = recipeBy(id);
  if (!recipe) return <Missing what="This recipe is not in the book on this phone." />;
  return <Form key={recipe.id} recipe={recipe} />;
}

function Form({ recipe }: { recipe?: ShownRecipe }) {
  const go = useGo();
  const handle = useMemo(() => draftOf<RecipeForm>(`recipe ${recipe?.id ?? 'new'}`), [recipe?.id]);
  useEffect(() => () => void handle.flush(), [handle]);
  const [problem, setProblem] = useState('');
  const [isTried, setTried] = useState(false);
  const [unit, setUnit] = useState<AmountUnit>('mL');
  if (!handle.isReady.value) return <Loading />;
  const form = handle.value.value ?? (recipe ? formOf(recipe) : newForm(isKeeper()));
  const mayEdit = !recipe || recipe.may_edit;
  const problems = isTried ? formProblems(form) : {};
  const change = (part: Partial<RecipeForm>): void => handle.save({ ...form, ...part });
  const changePart = (key: string, part: Partial<RecipeFormPart>): void =>
    change({ parts: form.parts.map((one) => (one.key === key ? { ...one, ...part } : one)) });

  const save = async (): Promise<void> => {
    setTried(true);
    if (Object.keys(formProblems(form)).length > 0) return;
    const failed = recipe ? await rewrite(recipe, form) : await write(form);
    setProblem(failed);
    if (failed) return;
    await handle.clear();
    go('/recipes');
  };

  const kind =
    FILL_KINDS.find((one) => one.spirit === form.spirit && one.family === form.family)?.value ?? 'mix';
  const strength = strengthOf(
    form.parts.map((part) => ({
      volume_l: part.volume_l ?? 0,
      abv_pct: part.abv_pct ?? 0,
      sugar_g_l: part.sugar_g_l ?? assumedSugarGL(part.kind) ?? 0,
    })),
  );
  return (
    <Screen
      title={recipe?.name ?? 'A new recipe'}
      announce={problem || Object.values(problems)[0] || ''}
      top={{ back: { href: '/recipes', label: 'Recipes' }, right: <Fresh /> }}
      sill={
        mayEdit ? (
          <Sill
            left={{ label: 'Leave', href: '/recipes' }}
            act={{ label: recipe ? 'Save it' : 'Write it down', onPress: () => void save() }}
            right={{
              label: 'Another part',
              onPress: () => change({ parts: [...form.parts, newPart(freeKey(form.parts))] }),
            }}
          />
        ) : (
          <Sill act={{ label: 'Back to the book', href: '/recipes' }} />
        )
      }
    >
      <Section>
        <Title>{recipe ? capital(recipe.name) : 'A new recipe'}</Title>
        {recipe && (
          <Note>
            {recipe.is_club ? 'In the club’s book' : 'Somebody’s own'}
            {recipe.here_version === null ? '; not yet sent' : `, version ${recipe.version}`}.
          </Note>
        )}
      </Section>
      {problem && (
        <Section class="gap4">
          <Notice tone="red">{problem}</Notice>
        </Section>
      )}
      <Section class="gap4">
        <fieldset class="stack" disabled={!mayEdit}>
          <legend class="sr">The recipe</legend>
          <Field
            label="Name"
            value={form.name}
            onInput={(name) => change({ name })}
            maxLength={80}
            error={problems.name}
          />
          <Choice
            label="What it is"
            options={FILL_KINDS.map(({ value, label }) => ({ value, label }))}
            value={kind}
            onChange={(value) => {
              const chosen = FILL_KINDS.find((one) => one.value === value);
              if (chosen) change({ spirit: chosen.spirit, family: chosen.family });
            }}
          />
          <Choice
            label="Amounts in"
            options={UNIT_OPTIONS}
            value={unit}
            onChange={(value) => setUnit(value as AmountUnit)}
            hint="In any amount: each barrel scales it."
          />
          {form.parts.map((part, i) => (
            <PartFields
              // The amount's field begins anew where the unit changes.
              key={`${part.key} ${unit}`}
              part={part}
              number={i + 1}
              unit={unit}
              problems={problems}
              onChange={(changed) => changePart(part.key, changed)}
              onGone={
                form.parts.length > 1
                  ? () => change({ parts: form.parts.filter((one) => one.key !== part.key) })
                  : undefined
              }
            />
          ))}
          {problems.parts && <Notice tone="red">{problems.parts}</Notice>}
          {strength !== null && strength > 0 && (
            <p class="note ink">Together about {Math.round(strength)} % vol, calculated.</p>
          )}
          <Field
            label="A note"
            multiline
            maxLength={2000}
            value={form.note}
            onInput={(note) => change({ note })}
          />
          {isKeeper() && (
            <label class="mix__tick">
              <input
                type="checkbox"
                checked={form.is_club}
                onChange={(event) => change({ is_club: event.currentTarget.checked })}
              />
              In the club’s book, for everybody
            </label>
          )}
        </fieldset>
        {recipe && mayEdit && <PutAway recipe={recipe} onProblem={setProblem} />}
      </Section>
    </Screen>
  );
}

const freeKey = (parts: readonly RecipeFormPart[]): string =>
  String(Math.max(-1, ...parts.map((part) => Number(part.key))) + 1);

async function write(form: RecipeForm): Promise<string> {
  const kept = await keep('recipes', formBody(form));
  return kept.ok ? '' : kept.words;
}

async function rewrite(recipe: ShownRecipe, form: RecipeForm): Promise<string> {
  const changes = formChanges(form, recipe);
  if (Object.keys(changes).length === 0) return '';
  const kept = await keepEdit('recipes', recipe.id, recipe.version, changes);
  return kept.ok ? '' : kept.words;
}

function PutAway({ recipe, onProblem }: { recipe: ShownRecipe; onProblem: (words: string) => void }) {
  const turn = async (): Promise<void> => {
    const changes = { is_put_away: !recipe.is_put_away };
    const kept = await keepEdit('recipes', recipe.id, recipe.version, changes);
    if (!kept.ok) onProblem(kept.words);
  };
  return (
    <p class="gap5">
      <Press onPress={() => void turn()}>{recipe.is_put_away ? 'Back into use' : 'Put it away'}</Press>
    </p>
  );
}

interface PartFieldsProps {
  part: RecipeFormPart;
  number: number;
  unit: AmountUnit;
  problems: Record<string, string>;
  onChange: (part: Partial<RecipeFormPart>) => void;
  onGone: (() => void) | undefined;
}

function PartFields({ part, number, unit, problems, onChange, onGone }: PartFieldsProps) {
  const [text, setText] = useState(part.volume_l === null ? '' : amountText(part.volume_l, unit, part));
  const assumed = assumedSugarGL(part.kind);
  return (
    <fieldset class="mix__amount">
      <legend class="lead b">Part {number}</legend>
      <Choice
        label="Kind"
        options={KIND_OPTIONS}
        value={part.kind}
        onChange={(value) => {
          const kind = value as Ingredient;
          onChange(kind === 'water' ? { kind, abv_pct: 0, name: part.name || 'water' } : { kind });
        }}
      />
      <Field
        label="Its name"
        value={part.name}
        onInput={(name) => onChange({ name })}
        maxLength={80}
        hint="What it is, without its maker."
        error={problems[`${part.key}.name`]}
      />
      <Field
        label="How much"
        inputMode="decimal"
        unit={unit}
        value={text}
        onInput={(typed) => {
          setText(typed);
          onChange({ volume_l: typed.trim() === '' ? null : typedAmountL(typed, unit, part) });
        }}
        error={problems[`${part.key}.volume`]}
      />
      {part.kind !== 'water' && (
        <>
          <NumberField
            label="Strength"
            unit="% vol"
            value={part.abv_pct}
            low={0}
            high={97}
            onChange={(abv_pct) => onChange({ abv_pct })}
            onEmpty={() => onChange({ abv_pct: null })}
            {...(problems[`${part.key}.abv`] ? { hint: problems[`${part.key}.abv`] } : {})}
          />
          <NumberField
            label="Sugar"
            unit="g/L"
            value={part.sugar_g_l}
            low={0}
            high={900}
            {...(assumed === null ? {} : { hint: `Left open, ${assumed} g/L is taken.` })}
            onChange={(sugar_g_l) => onChange({ sugar_g_l })}
            onEmpty={() => onChange({ sugar_g_l: null })}
          />
          <NumberField
            label="A bottle of it holds"
            unit="mL"
            value={part.bottle_ml}
            low={1}
            high={60000}
            onChange={(bottle_ml) => onChange({ bottle_ml })}
            onEmpty={() => onChange({ bottle_ml: null })}
          />
          <NumberField
            label="A bottle of it costs"
            unit={club.value?.currency ?? ''}
            value={part.bottle_cost_minor === null ? null : part.bottle_cost_minor / minorPerUnit()}
            low={0}
            high={100000}
            onChange={(cost) => onChange({ bottle_cost_minor: Math.round(cost * minorPerUnit()) })}
            onEmpty={() => onChange({ bottle_cost_minor: null })}
          />
        </>
      )}
      {hasLabelToRead(part.kind) && (
        <AllergenTicks value={part.allergens} onChange={(allergens) => onChange({ allergens })} />
      )}
      {onGone && <Press onPress={onGone}>Take this part out</Press>}
    </fieldset>
  );
}

function minorPerUnit(): number {
  const format = new Intl.NumberFormat('en-GB', {
    style: 'currency',
    currency: club.value?.currency ?? 'EUR',
  });
  return 10 ** (format.resolvedOptions().maximumFractionDigits ?? 2);
}
