import { PressGroup } from '../press-group/index.tsx';
import { setTheme, type Theme, theme } from '../theme/index.ts';

const options: { value: Theme; label: string }[] = [
  { value: 'system', label: 'As the device' },
  { value: 'dark', label: 'Dark' },
  { value: 'light', label: 'Light' },
];

/** Chooses the theme, kept on this device. */
export function ThemeChoice() {
  return (
    <PressGroup
      label="Theme"
      options={options}
      value={theme.value}
      onChange={(value) => value && setTheme(value)}
    />
  );
}
