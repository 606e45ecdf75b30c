import './style.css';
import { useEffect, useId, useRef } from 'preact/hooks';

export interface FieldProps {
  label: string;
  name?: string;
  value: string;
  onInput: (value: string) => void;
  type?: 'text' | 'email' | 'password' | 'number' | 'date' | 'datetime-local' | 'search';
  /** What is wrong, in a sentence. */
  error?: string | undefined;
  /** What may stand here, shown with the error: "0 to 80 % vol". */
  allowed?: string | undefined;
  hint?: string;
  autocomplete?: string;
  inputMode?: 'text' | 'decimal' | 'numeric' | 'email' | 'search';
  autoCapitalize?: 'none' | 'characters' | 'words' | 'sentences';
  required?: boolean;
  min?: number | string;
  max?: number | string;
  step?: number | string;
  maxLength?: number;
  /** Stands behind the input: "mL". */
  unit?: string;
  multiline?: boolean;
  autoFocus?: boolean;
}

/** A labelled input with its error under it. */
export function Field(props: FieldProps) {
  const { label, error, allowed, hint, unit, multiline, value, onInput } = props;
  const id = useId();
  const field = useRef<HTMLDivElement>(null);
  const isWrong = Boolean(error);
  // The plank that was pressed stands at the foot: the first field that is wrong comes into sight.
  useEffect(() => {
    if (isWrong && field.current?.contains(document.querySelector('[aria-invalid="true"]')))
      field.current.scrollIntoView?.({ block: 'nearest' });
  }, [isWrong]);
  const says = [hint && `${id}-hint`, error && `${id}-error`].filter(Boolean).join(' ') || undefined;
  const common = {
    id,
    name: props.name,
    value,
    required: props.required,
    maxLength: props.maxLength,
    autocomplete: props.autocomplete,
    'aria-invalid': error ? true : undefined,
    'aria-describedby': says,
    class: error ? 'field__input field__input--wrong' : 'field__input',
  };
  return (
    <div class="field" ref={field}>
      <label class="field__label" for={id}>
        {label}
      </label>
      {hint && (
        <span class="field__hint note" id={`${id}-hint`}>
          {hint}
        </span>
      )}
      <span class="field__box">
        {multiline ? (
          <textarea {...common} rows={3} onInput={(event) => onInput(event.currentTarget.value)} />
        ) : (
          <input
            {...common}
            type={(props.type ?? 'text') as 'text'}
            inputMode={props.inputMode}
            autocapitalize={props.autoCapitalize}
            min={props.min}
            max={props.max}
            step={props.step ?? (props.type === 'number' ? 'any' : undefined)}
            // biome-ignore lint/a11y/noAutofocus: only where the field is the screen's whole purpose
            autoFocus={props.autoFocus}
            onInput={(event) => onInput(event.currentTarget.value)}
          />
        )}
        {unit && (
          <span class="field__unit soft" aria-hidden="true">
            {unit}
          </span>
        )}
      </span>
      {error && (
        <span class="field__error" id={`${id}-error`}>
          {error}
          {allowed && ` Allowed: ${allowed}.`}
        </span>
      )}
    </div>
  );
}
