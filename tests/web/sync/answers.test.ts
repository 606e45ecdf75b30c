import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { refreshSession } from '~/api/session.ts';
import { database } from '~/store/db.ts';
import { report, reportCsvUrl, suggestions } from '~/sync/answers.ts';
import { CLUB, freshDatabase, SESSION } from '../cast.ts';

let asked: string[] = [];
let answer: () => Response | Promise<Response>;

beforeEach(async () => {
  asked = [];
  answer = () => Response.json({ overdue: 2 });
  vi.stubGlobal('fetch', async (request: Request) => {
    const { pathname, search } = new URL(request.url);
    if (pathname === '/api/v1/me') return Response.json(SESSION);
    asked.push(pathname + search);
    return answer();
  });
  await refreshSession();
  database.value = await freshDatabase();
});

afterEach(() => {
  database.value = null;
  vi.unstubAllGlobals();
});

test('it gives the answer, and the kept one with its time when there is no signal', async () => {
  const first = report();
  await first.ask();
  expect(first.answer.value).toMatchObject({ data: { overdue: 2 }, loading: false, problem: null });
  expect(asked).toEqual([`/api/v1/clubs/${CLUB}/report`]);

  answer = () => Promise.reject(new TypeError('Failed to fetch'));
  const second = report();
  await second.ask();
  expect(second.answer.value.data).toMatchObject({ overdue: 2 });
  expect(second.answer.value.problem?.code).toBe('no_signal');
  expect(second.answer.value.as_of_ms).toBe(first.answer.value.as_of_ms);
});

test('it keeps a refusal’s reason and no answer of another question', async () => {
  answer = () => Response.json({ code: 'forbidden', detail: 'Only the keeper.' }, { status: 403 });
  const question = suggestions({ volume_l: '5', spirit: 'rum', family: 'spirit', oak: 3 } as never);
  await question.ask();
  expect(asked[0]).toBe(`/api/v1/clubs/${CLUB}/barrel-suggestions?volume_l=5&spirit=rum&family=spirit&oak=3`);
  expect(question.answer.value).toMatchObject({ data: null, problem: { detail: 'Only the keeper.' } });
});

test('a late answer does not overwrite a newer one', async () => {
  let release = (): void => {};
  answer = () =>
    new Promise((resolve) => {
      release = () => resolve(Response.json({ overdue: 1 }));
    });
  const question = report();
  const slow = question.ask();
  await vi.waitFor(() => expect(asked).toHaveLength(1));
  answer = () => Response.json({ overdue: 5 });
  await question.ask();
  release();
  await slow;
  expect(question.answer.value.data?.overdue).toBe(5);
});

test('the file of the report has its address', () => {
  expect(reportCsvUrl()).toBe(`/api/v1/clubs/${CLUB}/report.csv`);
});

test('the file is narrowed as the table is', () => {
  expect(reportCsvUrl({ place: '', state: 'held', order: '-days' })).toBe(
    `/api/v1/clubs/${CLUB}/report.csv?state=held&order=-days`,
  );
});
