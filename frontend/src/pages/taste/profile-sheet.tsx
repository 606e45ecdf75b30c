import { Scale } from '~/components/scale/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { PROFILE_GROUPS } from '../words/taste.ts';
import type { SheetProps } from './sheets.tsx';

/** What the nose and the mouth found, each by how strong it is; nothing needs to be said. */
export function ProfileSheet({ draft, onChange, onClose }: SheetProps) {
  const profile = draft.profile ?? {};
  return (
    <Sheet open onClose={onClose} title="The full profile" closeLabel="Done">
      <p class="note">
        From 0, none, by 5, clear, to 10, very strong. What you leave untouched is not sent. Nosing is easier
        at about 20 % vol; say so under Say more if you add water.
      </p>
      {PROFILE_GROUPS.map((group) => (
        <fieldset key={group.label} class="taste__group">
          <legend class="lead b">{group.label}</legend>
          {group.attributes.map(({ value, label }) => (
            <Scale
              key={value}
              label={label}
              value={profile[value]}
              onChange={(strength) => {
                const { [value]: _gone, ...rest } = profile;
                onChange({ profile: strength === undefined ? rest : { ...rest, [value]: strength } });
              }}
            />
          ))}
        </fieldset>
      ))}
    </Sheet>
  );
}
