/** Entries written into the text of a job file. Everything that stands there stays as it is: remarks, order, layout. */
import { createScanner, type Node } from 'jsonc-parser'
import type { List } from './csvRow.ts'
import { inline } from './starter.ts'

/** What is to be written into one panel. */
export interface PanelChange {
	/** the panel's object in the tree of the text */
	readonly panel: Node
	readonly lists: readonly ListChange[]
}

export interface ListChange {
	readonly list: List
	readonly add: readonly object[]
	readonly set: readonly EntryChange[]
}

export interface EntryChange {
	/** the entry's object */
	readonly entry: Node
	readonly values: Readonly<Record<string, string | number>>
}

interface Edit {
	readonly offset: number
	readonly length: number
	readonly content: string
}

/** The text with the changes in it, by offsets of the tree that it was parsed into. */
export function writeEntries(text: string, changes: readonly PanelChange[]): string {
	const edits = changes.flatMap(({ panel, lists }) => [
		...lists.flatMap(({ set }) => set.flatMap(setEdits)),
		...addEdits(
			text,
			panel,
			lists.filter(({ add }) => add.length > 0),
		),
	])
	return applied(text, edits)
}

/** In one go: 10,000 edits one after the other would copy the text as often. */
function applied(text: string, edits: readonly Edit[]): string {
	const parts: string[] = []
	let from = 0
	for (const { offset, length, content } of edits.toSorted((a, b) => a.offset - b.offset)) {
		parts.push(text.slice(from, offset), content)
		from = offset + length
	}
	return [...parts, text.slice(from)].join('')
}

/** The value of a key of an object in the tree. */
export function valueNode(object: Node, key: string): Node | undefined {
	return object.children?.find((property) => property.children?.[0]?.value === key)?.children?.[1]
}

function setEdits({ entry, values }: EntryChange): Edit[] {
	const fresh: string[] = []
	const edits: Edit[] = []
	for (const [key, value] of Object.entries(values)) {
		const content = JSON.stringify(value)
		const node = valueNode(entry, key)
		if (node) edits.push({ offset: node.offset, length: node.length, content })
		else fresh.push(`, ${JSON.stringify(key)}: ${content}`)
	}
	const last = entry.children?.at(-1)
	if (last && fresh.length > 0) edits.push({ offset: endOf(last), length: 0, content: fresh.join('') })
	return edits
}

function addEdits(text: string, panel: Node, lists: readonly ListChange[]): readonly Edit[] {
	const there = lists.flatMap(({ list, add }) => {
		const node = valueNode(panel, list)
		return node ? appended(text, node, add.map(inline)) : []
	})
	// lists that the panel does not have yet are its new last ones, in one edit
	const fresh = lists.filter(({ list }) => !valueNode(panel, list))
	if (fresh.length === 0) return there
	const { eol, step } = layoutOf(text)
	const inner = eol + childIndent(text, panel, step)
	const items = fresh.map(({ list, add }) => `"${list}": [${add.map((each) => inner + step + inline(each)).join(',')}${inner}]`)
	return [...there, ...appended(text, panel, items)]
}

/** New last items of a list (or properties of an object), each on a line of its own, after all remarks that stand in it. */
function appended(text: string, list: Node, items: readonly string[]): readonly Edit[] {
	const { eol, step } = layoutOf(text)
	const close = endOf(list) - 1
	const last = list.children?.at(-1)
	const comma = last && hasComma(text, endOf(last), close)
	const indent = childIndent(text, list, step)
	let place = close
	while (/\s/.test(text[place - 1] as string)) place--
	const lines = items.map((item) => eol + indent + item).join(',') + (comma ? ',' : '')
	const rest = text.slice(place, close).includes('\n') ? '' : eol + indentAt(text, list.offset)
	const edit = { offset: place, length: 0, content: lines + rest }
	if (!last || comma) return [edit]
	if (endOf(last) === place) return [{ ...edit, content: `,${edit.content}` }]
	return [{ offset: endOf(last), length: 0, content: ',' }, edit]
}

const endOf = ({ offset, length }: Node) => offset + length

// the scanner's comma and its end of file, as numbers: its const enum cannot be imported file by file
const COMMA = 5
const END = 17

/** Between the last item and the bracket: a comma that is no part of a remark. */
function hasComma(text: string, from: number, to: number): boolean {
	const scanner = createScanner(text.slice(from, to), true)
	for (let token: number = scanner.scan(); token !== END; token = scanner.scan()) if (token === COMMA) return true
	return false
}

function childIndent(text: string, list: Node, step: string): string {
	const last = list.children?.at(-1)
	const before = last && text.slice(text.lastIndexOf('\n', last.offset - 1) + 1, last.offset)
	return before !== undefined && /^\s*$/.test(before) ? before : indentAt(text, list.offset) + step
}

const indentAt = (text: string, offset: number) => /^[ \t]*/.exec(text.slice(text.lastIndexOf('\n', offset - 1) + 1))?.[0] ?? ''

function layoutOf(text: string): { readonly eol: string; readonly step: string } {
	return { eol: text.includes('\r\n') ? '\r\n' : '\n', step: /\n([ \t]+)\S/.exec(text)?.[1] ?? '\t' }
}
