import './style.css';
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { once } from '../press/once.ts';
import { Sheet } from '../sheet/index.tsx';

export interface ChoiceOption {
  value: string;
  label: string;
  hint?: string;
}

/** A word in a sentence that can be changed. */
export interface Choice {
  id: string;
  /** What is chosen, as the sheet's title: "How much?" */
  label: string;
  /** The words as they stand in the sentence. */
  text: string;
  options?: ChoiceOption[];
  value?: string;
  onChange?: (value: string) => void;
  /** Content of one's own, as a date to pick. */
  sheet?: (close: () => void) => ComponentChildren;
}

export interface SentenceProps {
  parts: (string | Choice)[];
}

/** A wish written as a sentence whose underlined words open a sheet of choices. */
export function Sentence({ parts }: SentenceProps) {
  const [openId, setOpenId] = useState<string>();
  const close = (): void => setOpenId(undefined);
  const choice = parts.find((part): part is Choice => typeof part !== 'string' && part.id === openId);
  return (
    <>
      <p class="sentence">
        {parts.map((part) =>
          typeof part === 'string' ? (
            part
          ) : (
            <button
              key={part.id}
              type="button"
              class="sentence__word"
              aria-haspopup="dialog"
              aria-label={`${part.label} ${part.text}`}
              onClick={once(() => setOpenId(part.id))}
            >
              {part.text}
            </button>
          ),
        )}
      </p>
      {choice && (
        <Sheet open title={choice.label} onClose={close}>
          {choice.options && (
            <ul class="sentence__options">
              {choice.options.map((option) => (
                <li key={option.value}>
                  <button
                    type="button"
                    class={option.value === choice.value ? 'sentence__option is-chosen' : 'sentence__option'}
                    aria-pressed={option.value === choice.value}
                    onClick={once(() => {
                      choice.onChange?.(option.value);
                      close();
                    })}
                  >
                    <span class={option.value === choice.value ? 'tick' : undefined}>{option.label}</span>
                    {option.hint && <span class="sentence__hint">{option.hint}</span>}
                  </button>
                </li>
              ))}
            </ul>
          )}
          {choice.sheet?.(close)}
        </Sheet>
      )}
    </>
  );
}
