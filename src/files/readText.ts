/** A text file that a person named. */
import { resolve } from 'node:path'
import type { Outcome, Problem } from '../job/problem.ts'
import { decode } from './decode.ts'
import type { Disk } from './disk.ts'
import { diskProblem, isDiskError } from './diskProblem.ts'

/** Four bytes for each of the 5 million characters that a job or table may have. */
const MOST_BYTES = 20_000_000

export interface TextOptions {
	/** the folder that `said` is seen from */
	readonly from: string
	/** tables from old programs are not always UTF-8 */
	readonly oldEncodings?: boolean
}

/** The text of a file. A problem where it is missing, no file, too large, or no text. */
export async function readText(disk: Disk, said: string, { from, oldEncodings = false }: TextOptions): Promise<Outcome<string>> {
	const path = resolve(from, said)
	const refused = (problem: Omit<Problem, 'severity' | 'path' | 'file'>): Outcome<string> => ({
		problems: [{ ...problem, severity: 'error', path: '', file: said }],
	})
	try {
		const kind = await disk.kind(path)
		if (kind === 'folder' || kind === 'other') {
			const fix = 'name the file itself'
			return refused({
				code: 'NOT_A_FILE',
				found: `${said} is ${kind === 'folder' ? 'a folder' : 'no plain file'}`,
				expected: 'a file',
				fix,
			})
		}
		if (kind === 'file' && (await disk.size(path)) > MOST_BYTES) {
			const fix = 'look whether this is the file that you meant'
			return refused({
				code: 'FILE_TOO_LARGE',
				found: `${said} is larger than 20 MB`,
				expected: 'a file written by a person',
				fix,
			})
		}
		const text = decode(await disk.read(path), oldEncodings)
		if (text !== undefined) return { value: text, problems: [] }
		const fix = 'save it as text in UTF-8'
		return refused({ code: 'NOT_TEXT', found: `${said} holds signs that are not text in UTF-8`, expected: 'a text file', fix })
	} catch (error) {
		if (!isDiskError(error)) throw error
		return { problems: [diskProblem(error, said)] }
	}
}
