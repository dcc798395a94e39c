import type { Problem, Severity } from '../job/problem.ts'

/** One problem as the answer of what could not be made. */
export function panelProblem(
	path: string,
	code: string,
	found: string,
	expected: string,
	fix: string,
	severity: Severity = 'error',
): { readonly problems: readonly Problem[] } {
	return { problems: [{ code, severity, path, found, expected, fix }] }
}
