/** Problem details (RFC 9457) as the API sends them, and what stands in for them when no answer came. */

export interface FieldProblem {
  field: string;
  value: unknown;
  allowed: string;
  detail: string;
}

export interface Problem {
  status: number;
  /** Stable, snake_case; never shown but in "details". */
  code: string;
  title: string;
  /** A sentence for the person. */
  detail: string;
  fields: FieldProblem[];
}

export const NO_SIGNAL: Problem = {
  status: 0,
  code: 'no_signal',
  title: 'No answer',
  detail: 'The server did not answer. Nothing on this phone is lost.',
  fields: [],
};

const UNREADABLE = 'The answer could not be read.';

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function text(value: unknown, otherwise: string): string {
  return typeof value === 'string' && value !== '' ? value : otherwise;
}

function fieldProblems(value: unknown): FieldProblem[] {
  if (!Array.isArray(value)) return [];
  return value.filter(isRecord).map((line) => ({
    field: text(line.field, ''),
    value: line.value ?? null,
    allowed: text(line.allowed, ''),
    detail: text(line.detail, ''),
  }));
}

/** Reads a refusal's body; whatever came, the result is a problem with a sentence. */
export function problemFrom(status: number, body: unknown): Problem {
  const known = isRecord(body) ? body : {};
  return {
    status,
    code: text(known.code, `http_${status}`),
    title: text(known.title, `Answer ${status}`),
    detail: text(known.detail, `${UNREADABLE} It was answer ${status}, without a reason.`),
    fields: fieldProblems(known.fields),
  };
}

/** Reads a refused answer, JSON or not. */
export async function problemOf(response: Response): Promise<Problem> {
  try {
    return problemFrom(response.status, JSON.parse(await response.text()));
  } catch {
    return problemFrom(response.status, null);
  }
}

export function fieldProblem(problem: Problem | null, field: string): FieldProblem | undefined {
  return problem?.fields.find((line) => line.field === field);
}
