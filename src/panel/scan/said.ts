import type { Outcome, Problem, Severity } from '../../job/problem.ts'

/** A problem of a scan; `path` leads to the capture in the job. */
export function said(severity: Severity, code: string, path: string, found: string, expected: string, fix: string): Problem {
	return { code, severity, path, found, expected, fix }
}

/** What ends the reading of a scan. */
export function refused(code: string, path: string, found: string, expected: string, fix: string): Outcome<never> {
	return { problems: [said('error', code, path, found, expected, fix)] }
}

const EXPORT_AGAIN = 'export the scan again from the scanning program'

export const truncated = (path: string, found: string): Outcome<never> =>
	refused('SCAN_TRUNCATED', path, found, 'the whole file', `copy the file again; if it stays short, ${EXPORT_AGAIN}`)

export const damaged = (path: string, found: string, expected: string): Outcome<never> =>
	refused('SCAN_DAMAGED', path, found, expected, EXPORT_AGAIN)

export const notAMesh = (path: string, found: string): Outcome<never> =>
	refused(
		'SCAN_NOT_A_MESH',
		path,
		found,
		'triangles as STL, PLY or OBJ',
		'export the scan as a triangle mesh in one of these formats',
	)

/** 1234567 as "1,234,567". */
export const counted = (n: number): string => String(n).replace(/\B(?=(\d{3})+$)/g, ',')

export const bytesOf = (n: number): string =>
	n >= 1e9 ? `${(n / 1e9).toFixed(1)} GB` : n >= 1e6 ? `${(n / 1e6).toFixed(1)} MB` : `${counted(n)} bytes`
