import type { Problem, Severity } from '../../job/problem.ts'
import type { Element } from './element.ts'

/** Beyond so many problems of one drawing nobody reads on. */
const MOST_LISTED = 20

export interface Complaint {
	readonly code: string
	readonly found: string
	readonly expected: string
	readonly fix: string
	readonly severity?: Severity
}

/** What is wrong with one drawing: each complaint with the file and the element that it is about. */
export class Troubles {
	readonly #list: Problem[] = []
	readonly #seen = new Set<string>()
	#more = 0
	#failed = false
	readonly file: string
	readonly path: string

	constructor(file: string, path: string) {
		this.file = file
		this.path = path
	}

	/** Whether nothing may come of the drawing. */
	get failed(): boolean {
		return this.#failed
	}

	/** The same of the same element is said once, however often it is used. */
	add(element: Element | number | undefined, { code, found, expected, fix, severity = 'error' }: Complaint): void {
		if (severity === 'error') this.#failed = true
		const said = `${this.file}${placeOf(element)}: ${found}`
		if (this.#seen.has(code + said)) return
		this.#seen.add(code + said)
		if (this.#list.length >= MOST_LISTED) this.#more++
		else this.#list.push({ code, severity, path: this.path, found: said, expected, fix })
	}

	list(): readonly Problem[] {
		if (this.#more === 0) return this.#list
		const found = `${this.file}: ${this.#more} more problems that are not listed`
		const rest = { found, expected: 'a drawing whose problems can be read', fix: 'Put these right first, then check again.' }
		return [...this.#list, { code: 'MORE_PROBLEMS', severity: 'note', path: this.path, ...rest }]
	}
}

function placeOf(element: Element | number | undefined): string {
	if (element === undefined) return ''
	if (typeof element === 'number') return `, line ${element}`
	const id = element.attributes.get('id')
	return `, line ${element.line}, <${element.name}${id === undefined ? '' : ` id=${JSON.stringify(id.slice(0, 40))}`}>`
}
