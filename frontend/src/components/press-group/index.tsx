import './style.css';
import { useId } from 'preact/hooks';

export interface PressGroupProps<T extends string | number> {
  label: string;
  options: { value: T; label: string }[];
  value: T | undefined;
  onChange: (value: T | undefined) => void;
  /** Pressing the chosen plank again unsets it. */
  none?: boolean;
  /** The label is said beside it already. */
  hideLabel?: boolean;
}

/** Planks side by side, of which one may be chosen. */
export function PressGroup<T extends string | number>(props: PressGroupProps<T>) {
  const { label, options, value, onChange, none, hideLabel } = props;
  const name = useId();
  return (
    <fieldset class="press-group">
      <legend class={hideLabel ? 'sr' : 'press-group__label lead'}>{label}</legend>
      <div class="press-group__planks">
        {options.map((option) => {
          const isChosen = option.value === value;
          return (
            <label
              key={option.value}
              class={isChosen ? 'press-group__plank is-chosen' : 'press-group__plank'}
            >
              <input
                type="radio"
                class="press-group__input"
                name={name}
                checked={isChosen}
                onChange={() => onChange(option.value)}
                onClick={() => {
                  if (none && isChosen) onChange(undefined);
                }}
              />
              <span class={isChosen ? 'tick' : undefined}>{option.label}</span>
            </label>
          );
        })}
      </div>
    </fieldset>
  );
}
