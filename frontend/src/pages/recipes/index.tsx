import { Notice } from '~/components/notice/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Note, Title } from '~/components/words/index.tsx';
import { recipes, type ShownRecipe } from '~/outbox/recipes.ts';
import { Fresh } from '../parts/fresh.tsx';
import { myRole } from '../parts/me.ts';
import { capital } from '../words/numbers.ts';
import { recipeLine } from '../words/recipe.ts';

/** The recipe book: the club's recipes and one's own. */
export default function RecipesPage() {
  const all = recipes.value;
  const groups: { title: string; rows: ShownRecipe[] }[] = [
    { title: 'The club’s book', rows: all.filter((one) => one.is_club && !one.is_put_away) },
    { title: 'Your own', rows: all.filter((one) => !one.is_club && one.is_mine && !one.is_put_away) },
    {
      title: 'Other people’s own',
      rows: all.filter((one) => !one.is_club && !one.is_mine && !one.is_put_away),
    },
    { title: 'Put away', rows: all.filter((one) => one.is_put_away) },
  ];
  const isTablet = myRole() === 'tablet';
  return (
    <Screen
      title="Recipes"
      top={{ back: { href: '/', label: 'Back' }, right: <Fresh /> }}
      sill={
        isTablet ? undefined : (
          <Sill
            left={{ label: 'Barrels', href: '/barrels' }}
            act={{ label: 'Write one', href: '/recipes/new' }}
          />
        )
      }
    >
      <Section>
        <Title>The recipe book</Title>
      </Section>
      {isTablet && (
        <Section class="gap4">
          <Notice>Recipes are read by people of the club, not on the shared tablet.</Notice>
        </Section>
      )}
      {!isTablet && all.length === 0 && (
        <Section class="gap4">
          <Note>No recipe yet. Write the first.</Note>
        </Section>
      )}
      {groups
        .filter((group) => group.rows.length > 0)
        .map((group) => (
          <div key={group.title} class="gap5">
            <Section>
              <h2 class="lead b">{group.title}</h2>
            </Section>
            <StaveList label={group.title}>
              {group.rows.map((recipe) => (
                <StaveRow
                  key={recipe.id}
                  title={capital(recipe.name)}
                  href={`/recipes/${recipe.id}`}
                  aside={recipe.here_version === null ? <Note>on this phone</Note> : undefined}
                >
                  {recipeLine(recipe)}
                </StaveRow>
              ))}
            </StaveList>
          </div>
        ))}
    </Screen>
  );
}
