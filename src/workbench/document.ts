/** The job's text as the page edits it: single values changed where they stand, so that remarks, order and layout stay. */
import { applyEdits, findNodeAtLocation, modify, parseTree } from 'jsonc-parser'

/** Keys and places in lists, from the outside in. */
export type Path = readonly (string | number)[]

const layout = (text: string) => {
	const indent = /\n([ \t]+)\S/.exec(text)?.[1] ?? '\t'
	return {
		insertSpaces: !indent.startsWith('\t'),
		tabSize: indent.startsWith('\t') ? 4 : indent.length,
		eol: text.includes('\r\n') ? '\r\n' : '\n',
	}
}

/** The text with the value at a path written or replaced; undefined takes the key, or the entry of a list, away. */
export function withValue(text: string, path: Path, value: unknown): string {
	return applyEdits(text, modify(text, [...path], value, { formattingOptions: layout(text) }))
}

/** The text with a new entry in a list, before the one at `index`; a list that is not there yet is made. */
export function withEntry(text: string, list: Path, index: number, value: unknown): string {
	const node = nodeAt(text, list)
	if (!node) return withValue(text, list, [value])
	return applyEdits(text, modify(text, [...list, index], value, { formattingOptions: layout(text), isArrayInsertion: true }))
}

/** The text without an entry of a list. */
export const withoutEntry = (text: string, list: Path, index: number): string => withValue(text, [...list, index], undefined)

function nodeAt(text: string, path: Path) {
	const root = parseTree(text, [], { allowTrailingComma: true })
	return root && findNodeAtLocation(root, [...path])
}

/** The text with a list as it is to be: entries that stay the same stay as they are written, with the remarks about them. */
export function withList(text: string, list: Path, before: readonly unknown[], after: readonly unknown[]): string {
	let made = text
	for (const [i, entry] of after.entries()) {
		if (i >= before.length) made = withEntry(made, list, i, entry)
		else if (JSON.stringify(entry) !== JSON.stringify(before[i])) made = withValue(made, [...list, i], entry)
	}
	for (let i = before.length - 1; i >= after.length; i--) made = withoutEntry(made, list, i)
	return made
}
