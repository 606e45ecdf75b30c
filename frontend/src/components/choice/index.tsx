import { useId } from 'preact/hooks';
import '../field/style.css';

export interface ChoiceProps {
  label: string;
  name?: string;
  options: { value: string; label: string }[];
  value: string;
  onChange: (value: string) => void;
  hint?: string;
  error?: string | undefined;
}

/** One of a list, with the device's own picker. */
export function Choice({ label, name, options, value, onChange, hint, error }: ChoiceProps) {
  const id = useId();
  const says = [hint && `${id}-hint`, error && `${id}-error`].filter(Boolean).join(' ') || undefined;
  return (
    <div class="field">
      <label class="field__label" for={id}>
        {label}
      </label>
      {hint && (
        <span class="field__hint note" id={`${id}-hint`}>
          {hint}
        </span>
      )}
      <select
        id={id}
        name={name}
        class={error ? 'field__input field__input--wrong' : 'field__input'}
        value={value}
        aria-invalid={error ? true : undefined}
        aria-describedby={says}
        onChange={(event) => onChange(event.currentTarget.value)}
      >
        {options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.label}
          </option>
        ))}
      </select>
      {error && (
        <span class="field__error" id={`${id}-error`}>
          {error}
        </span>
      )}
    </div>
  );
}
