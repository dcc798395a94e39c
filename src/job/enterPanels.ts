/** The panels of a job as far as its text has them: what readings are entered into. */
import type { Node } from 'jsonc-parser'
import type { List } from './csvRow.ts'
import type { FitPanel } from './enterFit.ts'
import { namesOf } from './enterMatch.ts'
import { valueNode } from './enterText.ts'
import { readRef } from './marks.ts'
import { isObject, type PlainObject } from './migrate.ts'
import { printedName } from './printedName.ts'
import type { Problem } from './problem.ts'
import { type Source, valuesOf } from './source.ts'

export interface JobEntry {
	readonly value: PlainObject
	readonly node: Node
}

export interface JobPanel {
	readonly node: Node
	readonly fit: FitPanel
	readonly title: string
	readonly lists: Readonly<Record<List, readonly JobEntry[]>>
	/** marks that its lines go through */
	readonly marks: ReadonlySet<string>
	readonly lines: ReadonlySet<string>
}

/** The panels of a job as far as its text has them, whatever else is wrong with it. */
export function jobPanels(source: Source): readonly JobPanel[] {
	const file = valuesOf(source)
	const list = isObject(file) && Array.isArray(file.panels) ? file.panels : []
	const nodes = valueNode(source.root, 'panels')?.children ?? []
	return list.flatMap((value: unknown, index): JobPanel[] => {
		const node = nodes[index]
		if (!isObject(value) || typeof value.id !== 'string' || !node) return []
		const objects = (key: string) => (Array.isArray(value[key]) ? (value[key] as unknown[]) : [])
		const entries = (list: List) =>
			objects(list).flatMap((each, i): JobEntry[] => {
				const own = valueNode(node, list)?.children?.[i]
				return isObject(each) && own ? [{ value: each, node: own }] : []
			})
		const ids = (key: string) => objects(key).flatMap((each) => (isObject(each) && typeof each.id === 'string' ? [each.id] : []))
		const stripes = objects('stripes').filter(isObject)
		const steps = objects('edges').flatMap((edge) =>
			isObject(edge) && Array.isArray(edge.through) ? (edge.through as unknown[]) : [],
		)
		const names = steps.flatMap((step) => (typeof step === 'string' ? [step] : isObject(step) ? namesOf(step) : []))
		return [
			{
				node,
				fit: {
					id: value.id,
					hand: value.hand,
					datums: new Set(ids('datums')),
					printed: printedNames(value.hand, ids('edges'), stripes),
				},
				title: typeof value.title === 'string' ? value.title : value.id,
				lists: { readings: entries('readings'), proof: entries('proof'), checks: entries('checks') },
				lines: new Set(ids('edges')),
				marks: new Set(names.map((name) => readRef(name).name)),
			},
		]
	})
}

/** What strips and guides of a panel may call its lines: both edges of each band, and the lines themselves. */
function printedNames(hand: unknown, edges: readonly string[], stripes: readonly PlainObject[]): ReadonlyMap<string, string> {
	const bands = stripes.flatMap(({ id, bands }) => {
		const painted = Array.isArray(bands) ? bands.filter((band) => isObject(band) && 'paint' in band) : []
		return painted.flatMap((_, i) => [true, false].map((inner) => printedName(String(id), i + 1, hand, inner)))
	})
	return new Map([...bands, ...edges].map((name) => [name.toLowerCase(), name]))
}

/** Why nothing can be added to a list of a panel. */
export function listTrouble(panel: Node, list: List): Problem | undefined {
	const lists = (panel.children ?? []).filter((property) => property.children?.[0]?.value === list)
	const type = lists[0]?.children?.[1]?.type
	if (lists.length < 2 && (type === undefined || type === 'array')) return undefined
	const found = lists.length > 1 ? `\`${list}\` twice in one panel` : `\`${list}\` that is no list`
	const rest = { found, expected: 'one list [ ... ]', fix: 'Mend that in the job file, then enter the table again.' }
	return { code: 'READINGS_NO_LIST', severity: 'error', path: '', ...rest }
}

/** The ids of the panels that a text has. */
export const panelIds = (source: Source): readonly string[] => jobPanels(source).map(({ fit }) => fit.id)
