/** Every place that the published schema of a job file knows, `*` for any entry of a list. */
import { readFileSync } from 'node:fs'

interface Node {
	readonly properties?: Readonly<Record<string, Node>>
	readonly items?: Node | false
	readonly prefixItems?: readonly Node[]
	readonly anyOf?: readonly Node[]
	readonly oneOf?: readonly Node[]
	readonly allOf?: readonly Node[]
	readonly $ref?: string
}

export function schemaPlaces(): ReadonlySet<string> {
	const root = JSON.parse(readFileSync('docs/job.schema.json', 'utf8')) as Node & {
		readonly $defs?: Readonly<Record<string, Node>>
	}
	const places = new Set<string>()
	const walk = (node: Node, at: readonly string[]) => {
		if (node.$ref !== undefined) throw new Error(`${at.join('/')} refers elsewhere: teach this walk to follow it`)
		if (at.length > 0) places.add(at.join('/'))
		for (const [key, inner] of Object.entries(node.properties ?? {})) walk(inner, [...at, key])
		for (const inner of [...(node.items ? [node.items] : []), ...(node.prefixItems ?? [])]) walk(inner, [...at, '*'])
		for (const inner of [...(node.anyOf ?? []), ...(node.oneOf ?? []), ...(node.allOf ?? [])]) walk(inner, at)
	}
	walk(root, [])
	return places
}
