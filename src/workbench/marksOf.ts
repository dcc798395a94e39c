/** Names on a panel as its job file has them: what an edge can go through, and new names. */

type Entry = Readonly<Record<string, unknown>>
interface Written {
	readonly hand?: unknown
	readonly readings?: readonly Entry[]
	readonly datums?: readonly Entry[]
	readonly edges?: readonly Entry[]
}

export interface KnownMark {
	readonly name: string
	/** as it was read first, in the order of the list */
	readonly station: unknown
	readonly sides: ReadonlySet<string>
}

/** The marks that readings make, in the order of the list. */
export function marksOf({ readings = [] }: Written): readonly KnownMark[] {
	const found = new Map<string, { name: string; station: unknown; sides: Set<string> }>()
	for (const { mark, station, side } of readings) {
		if (typeof mark !== 'string') continue
		const one = found.get(mark) ?? { name: mark, station, sides: new Set<string>() }
		if (typeof side === 'string') one.sides.add(side)
		found.set(mark, one)
	}
	return [...found.values()]
}

/** What can be named: every mark and datum, and one side of each that was measured on both sides of the centreline. */
export function knownNames(panel: Written): readonly string[] {
	const marks = marksOf(panel)
	const sided = panel.hand === 'centre' ? marks.filter(({ sides }) => sides.has('left') && sides.has('right')) : []
	const datums = (panel.datums ?? []).flatMap(({ id }) => (typeof id === 'string' ? [id] : []))
	return [...marks.map(({ name }) => name), ...sided.flatMap(({ name }) => [`left/${name}`, `right/${name}`]), ...datums]
}

/** Marks that no edge goes through yet, in the order they were read; all of them where fewer than two are left. */
export function marksForEdge(panel: Written): readonly string[] {
	const names = marksOf(panel).map(({ name }) => name)
	const used = new Set((panel.edges ?? []).flatMap(({ through }) => (Array.isArray(through) ? through.map(markIn) : [])))
	const free = names.filter((name) => !used.has(name))
	return free.length >= 2 ? free : names
}

const markIn = (entry: unknown): string => {
	const name = typeof entry === 'object' && entry !== null ? (entry as Entry).mark : entry
	return String(name).replace(/^(left|right)\//, '')
}

/** One mark of an edge, in the form of cells. */
export interface Through {
	readonly mark: string
	readonly how: 'smooth' | 'corner' | 'pulled' | 'pulled-corner'
	/** as written */
	readonly tolerance: unknown
}

export function throughOf(entry: unknown): Through {
	const { mark, by, corner, tolerance } =
		typeof entry === 'object' && entry !== null
			? (entry as Entry)
			: { mark: entry, by: undefined, corner: false, tolerance: undefined }
	const how = by === 'pulled' ? (corner === true ? 'pulled-corner' : 'pulled') : corner === true ? 'corner' : 'smooth'
	return { mark: String(mark ?? ''), how, tolerance }
}

/** The entry with some of it changed; what stands there besides is kept, and a mark alone is written as its name. */
export function withThrough(entry: unknown, change: Partial<Through>): unknown {
	const { mark, how, tolerance } = { ...throughOf(entry), ...change }
	const { mark: _m, by, corner, tolerance: _t, ...rest } = (typeof entry === 'object' && entry !== null ? entry : {}) as Entry
	const pulled = how === 'pulled' || how === 'pulled-corner'
	const sharp = how === 'corner' || how === 'pulled-corner'
	const said = {
		mark,
		...(pulled ? { by: 'pulled' } : by === 'smooth' ? { by } : {}),
		...(sharp ? { corner: true } : corner === false ? { corner } : {}),
		...(tolerance === undefined ? {} : { tolerance }),
		...rest,
	}
	return Object.keys(said).length === 1 ? mark : said
}

/** A name of the form that the job file asks for, from words; with a figure where it is taken. */
export function nameFrom(words: string, taken: readonly unknown[], otherwise: string): string {
	const plain = words
		.normalize('NFKD')
		.replace(/\p{M}/gu, '')
		.toLowerCase()
		.replace(/[^a-z0-9]+/g, '-')
		.replace(/^[^a-z]+|-+$/g, '')
		.slice(0, 40)
		.replace(/-+$/, '')
	const name = plain === '' ? otherwise : plain
	if (!taken.includes(name)) return name
	for (let i = 2; ; i++) if (!taken.includes(`${name}-${i}`)) return `${name}-${i}`
}
