import { Notice } from '~/components/notice/index.tsx';
import { climateAlarm } from '../words/cautions.ts';
import { typedNumber } from '../words/typed.ts';

/** What is wrong with the air just read, said before it is kept. */
export function ClimateAlarm({ temp, rh }: { temp: string; rh: string }) {
  return (
    <>
      {climateAlarm(typedNumber(temp), typedNumber(rh)).map((line) => (
        <Notice key={line} tone="red">
          {line}
        </Notice>
      ))}
    </>
  );
}
