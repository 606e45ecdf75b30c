import './ticks.css';

export interface TicksProps {
  label: string;
  options: readonly { value: string; label: string }[];
  value: readonly string[];
  onChange: (value: string[]) => void;
  /** Its words are read before the form's fields, as a sentence of their own. */
  isLead?: boolean;
}

/** Any number of a list, each with a tick. */
export function Ticks({ label, options, value, onChange, isLead = false }: TicksProps) {
  return (
    <fieldset>
      <legend class={isLead ? 'lead' : 'field__label'}>{label}</legend>
      <div class={isLead ? 'ticks gap2' : 'ticks'}>
        {options.map((one) => (
          <label key={one.value} class="tick-line">
            <input
              type="checkbox"
              checked={value.includes(one.value)}
              onChange={(event) => {
                const others = value.filter((name) => name !== one.value);
                onChange(event.currentTarget.checked ? [...others, one.value] : others);
              }}
            />
            {one.label}
          </label>
        ))}
      </div>
    </fieldset>
  );
}
