import { GATE_NAMES, type Gate } from '../words/gates.ts';

interface GateListProps {
  gates: Gate[];
  accepted: string[];
  onChange: (accepted: string[]) => void;
}

const ORDER: Gate['state'][] = ['shut', 'open', 'amber', 'ok'];
const TONES: Record<Gate['state'], string> = {
  shut: 'red b',
  open: 'due b',
  amber: 'due b',
  ok: 'ok b tick',
};
const SAID: Record<Gate['state'], string> = { shut: 'not now', open: 'open', amber: 'ask', ok: '' };

/** What must be green, what is not first, each with its reason. */
export function GateList({ gates, accepted, onChange }: GateListProps) {
  const inOrder = [...gates].sort((a, b) => ORDER.indexOf(a.state) - ORDER.indexOf(b.state));
  return (
    <ul class="gap3" aria-label="Gates">
      {inOrder.map((gate) => {
        const isTicked = gate.state === 'open' && accepted.includes(gate.gate);
        const state = isTicked ? 'ok' : gate.state;
        return (
          <li key={gate.gate} class="fill__gate">
            <p class={TONES[state]}>
              {GATE_NAMES[gate.gate]}
              {SAID[state] && <span>: {SAID[state]}</span>}
            </p>
            <p class="note ink">{gate.reason}</p>
            {gate.state === 'open' && gate.accept && (
              <label class="mix__tick">
                <input
                  type="checkbox"
                  checked={isTicked}
                  onChange={(event) => {
                    const others = accepted.filter((one) => one !== gate.gate);
                    onChange(event.currentTarget.checked ? [...others, gate.gate] : others);
                  }}
                />
                {gate.accept}
              </label>
            )}
          </li>
        );
      })}
    </ul>
  );
}
