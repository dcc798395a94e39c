/** The job's text as the page edits it: single values changed where they stand, so that remarks, order and layout stay. */
import { applyEdits, findNodeAtLocation, modify, type ParseError, parseTree } from 'jsonc-parser'

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

/** The text with a list as it is to be: what stays the same of it stays as it is written, with the remarks about it. */
export function withList(text: string, list: Path, before: readonly unknown[], after: readonly unknown[]): string {
	let made = text
	for (const [i, entry] of after.entries()) {
		if (i >= before.length) made = withEntry(made, list, i, entry)
		else made = withChanged(made, [...list, i], before[i], entry)
	}
	for (let i = before.length - 1; i >= after.length; i--) made = withoutEntry(made, list, i)
	return made
}

/** What is written at a path, remarks and all, its later lines as far to the left as its first; undefined where nothing is. */
export function writtenAt(text: string, path: Path): string | undefined {
	const node = nodeAt(text, path)
	if (!node) return undefined
	const indent = indentAt(text, node.offset)
	return text.slice(node.offset, node.offset + node.length).replaceAll(`\n${indent}`, '\n')
}

/** The text with other words of the file in place of those at a path; undefined where they are no value of such a file. */
export function withWritten(text: string, path: Path, written: string): string | undefined {
	const node = nodeAt(text, path)
	const errors: ParseError[] = []
	const value = parseTree(written, errors, { allowTrailingComma: true })
	if (!node || !value || errors.length > 0) return undefined
	const lines = written.trim().replaceAll('\n', `\n${indentAt(text, node.offset)}`)
	return text.slice(0, node.offset) + lines + text.slice(node.offset + node.length)
}

/** The blanks that the line of a place begins with. */
const indentAt = (text: string, offset: number) => /^[ \t]*/.exec(text.slice(text.lastIndexOf('\n', offset - 1) + 1))?.[0] ?? ''

/** Of an entry with keys only those that differ are written. */
function withChanged(text: string, path: Path, before: unknown, after: unknown): string {
	if (JSON.stringify(after) === JSON.stringify(before)) return text
	if (!isEntry(before) || !isEntry(after)) return withValue(text, path, after)
	return [...new Set([...Object.keys(before), ...Object.keys(after)])].reduce(
		(made, key) => withChanged(made, [...path, key], before[key], after[key]),
		text,
	)
}

const isEntry = (value: unknown): value is Readonly<Record<string, unknown>> =>
	typeof value === 'object' && value !== null && !Array.isArray(value)
