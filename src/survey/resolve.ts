import type { ChartPoint } from '../chart/point.ts'
import { signedGirth } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import type { Panel, Reading } from '../job/schema.ts'
import { crossingId, type MarkSide } from './named.ts'

/** A mark by name, before anything is known of its place. */
export interface NamedMark {
	readonly key: string
	readonly id: string
	readonly side?: MarkSide
}

/** A reading whose marks are known by key, in its own order: mark; from, to; or mark, and the line's two. None of a width between lines yet. */
export interface ResolvedReading {
	readonly index: number
	readonly reading: Reading
	readonly keys: readonly string[]
	/** of a `square` or a `crossing`: girth with its sign */
	readonly g?: number
}

export interface Resolved {
	readonly marks: ReadonlyMap<string, NamedMark>
	readonly datums: ReadonlyMap<string, ChartPoint>
	readonly readings: readonly ResolvedReading[]
	/** widths between lines, whose marks are known once the others are placed */
	readonly widths: readonly ResolvedReading[]
	readonly problems: readonly Problem[]
}

type Spot = { readonly girth: number; readonly side?: 'left' | 'right' | 'above' | 'below' }

/** The names of marks that a reading mentions, as written. */
export function refsOf(reading: Reading): readonly string[] {
	if (reading.kind === 'square') return [reading.mark]
	if (reading.kind === 'crossing') return [crossingId(reading)]
	if (reading.kind === 'between') return []
	if (reading.kind === 'toLine') return [reading.mark, ...reading.line]
	return [reading.from, reading.to]
}

export function splitRef(ref: string): { readonly id: string; readonly side?: MarkSide } {
	const slash = ref.indexOf('/')
	return slash < 0 ? { id: ref } : { id: ref.slice(slash + 1), side: ref.slice(0, slash) as MarkSide }
}

/**
 * Which mark each reading means. On a centreline panel a girth's side makes two marks of one name; on a pair the panel
 * that was read does. What cannot be told is a problem, and that reading alone is left out.
 */
export function resolveReadings(panel: Panel, panelPath: string): Resolved {
	const problems: Problem[] = []
	const marks = new Map<string, NamedMark>()
	const datums = new Map<string, ChartPoint>()
	const add = (id: string, side?: MarkSide): string => {
		const key = side ? `${side}/${id}` : id
		if (!marks.has(key)) marks.set(key, side ? { key, id, side } : { key, id })
		return key
	}

	panel.datums.forEach((datum, index) => {
		const g = girthOf(panel, datum, `${panelPath}/datums/${index}`, `datum ${datum.id}`, problems)
		if (g === undefined) return
		const twin = panel.datums.some((other) => other !== datum && other.id === datum.id)
		const side = panel.hand === 'pair' ? datum.panel : twin && panel.hand === 'centre' ? sideOf(g) : undefined
		datums.set(add(datum.id, side), { s: datum.station, g })
	})

	// The sides that are named anywhere must be known before a plain name can be read.
	const panelsRead = new Set<MarkSide>()
	for (const reading of panel.readings) {
		if (reading.panel) panelsRead.add(reading.panel)
		for (const ref of refsOf(reading)) {
			const { id, side } = splitRef(ref)
			if (!side) continue
			panelsRead.add(side)
			if (panel.hand === 'centre' && !datums.has(id)) add(id, side)
		}
		if (panel.hand === 'centre' && isSquared(reading) && reading.girth > 0) {
			const [id] = refsOf(reading) as [string]
			if ((reading.side === 'left' || reading.side === 'right') && !datums.has(id)) add(id, reading.side)
		}
	}

	const readings: ResolvedReading[] = []
	const widths: ResolvedReading[] = []
	panel.readings.forEach((reading, index) => {
		const path = `${panelPath}/readings/${index}`
		if (reading.kind === 'between') {
			widths.push({ index, reading, keys: [] })
			return
		}
		const on = panelRead(panel, reading, path, panelsRead, problems)
		if (on === 'unknown') return
		let g: number | undefined
		if (isSquared(reading)) {
			const of = reading.kind === 'square' ? reading.mark : `the line ${reading.edge}`
			g = girthOf(panel, reading, path, `the reading of ${of}`, problems)
			if (g === undefined) return
		}
		const keys: string[] = []
		for (const ref of refsOf(reading)) {
			const { id, side } = splitRef(ref)
			const given = side ?? (isSquared(reading) && panel.hand === 'centre' && g !== 0 ? sideOf(g ?? 0) : undefined)
			const key = keyFor(panel, marks, id, given, on)
			if (key === 'either') {
				problems.push({
					code: 'MARK_SIDE_MISSING',
					severity: 'error',
					path,
					place: { panel: panel.id },
					found: `${id}, which was measured on the left and on the right`,
					expected: 'the name with its side',
					fix: `Write left/${id} or right/${id}.`,
				})
				return
			}
			if (key === 'elsewhere') {
				problems.push({
					code: 'MARK_SIDE_WRONG',
					severity: 'error',
					path,
					place: { panel: panel.id },
					found: `${ref} in a reading ${panel.hand === 'pair' ? `of the ${on} panel` : `of a panel on the ${panel.hand}`}`,
					expected: 'marks of the panel that was read',
					fix: `Correct the side, or write ${id} alone.`,
				})
				return
			}
			keys.push(add(id, key === id ? undefined : splitRef(key).side))
		}
		if (new Set(keys).size < keys.length) {
			problems.push({
				code: 'READING_OF_ONE_MARK',
				severity: 'error',
				path,
				place: { panel: panel.id },
				found: `a reading from ${refsOf(reading).join(' to ')}, which names one mark twice`,
				expected: 'different marks',
				fix: 'Correct one of the names.',
			})
			return
		}
		readings.push(g === undefined ? { index, reading, keys } : { index, reading, keys, g })
	})
	return { marks, datums, readings, widths, problems }
}

const isSquared = (reading: Reading): reading is Extract<Reading, { kind: 'square' | 'crossing' }> =>
	reading.kind === 'square' || reading.kind === 'crossing'

const sideOf = (g: number): MarkSide => (g < 0 ? 'left' : 'right')

/** Girth with the sign of its side, or undefined with a problem where the side is missing or of another kind of panel. */
function girthOf(panel: Panel, spot: Spot, path: string, what: string, problems: Problem[]): number | undefined {
	const centre = panel.hand === 'centre'
	const fits = spot.side === undefined || (spot.side === 'left' || spot.side === 'right') === centre
	if (!fits) {
		problems.push({
			code: 'SIDE_WRONG',
			severity: 'error',
			path: `${path}/side`,
			place: { panel: panel.id },
			found: `"${spot.side}" for ${what}`,
			expected: centre ? '"left" or "right" of the centreline' : '"above" or "below" the baseline',
			fix: centre || panel.hand !== 'pair' ? 'Correct the side.' : `Say which panel was read with "panel": "${spot.side}".`,
		})
		return undefined
	}
	if (spot.girth === 0) return 0
	if (spot.side === undefined && centre) {
		problems.push({
			code: 'SIDE_MISSING',
			severity: 'error',
			path,
			place: { panel: panel.id },
			found: `${what} with a girth and no side`,
			expected: '"left" or "right" of the centreline',
			fix: 'Add the side.',
		})
		return undefined
	}
	return signedGirth(spot.girth, spot.side)
}

/** Which panel of a pair was read; undefined where only one exists or none is ever named. */
function panelRead(
	panel: Panel,
	reading: Reading,
	path: string,
	panelsRead: ReadonlySet<MarkSide>,
	problems: Problem[],
): MarkSide | undefined | 'unknown' {
	if (panel.hand !== 'pair') {
		if (reading.panel && reading.panel !== panel.hand) {
			problems.push({
				code: 'SIDE_WRONG',
				severity: 'error',
				path: `${path}/panel`,
				place: { panel: panel.id },
				found: `"panel": "${reading.panel}" on a panel that is not one of a pair`,
				expected: 'this only on a pair of panels',
				fix:
					panel.hand === 'centre' ? 'Write the side of the mark instead.' : 'Take it out, or move the reading to its own panel.',
			})
			return 'unknown'
		}
		return undefined
	}
	const named =
		reading.panel ??
		refsOf(reading)
			.map((ref) => splitRef(ref).side)
			.find((side) => side !== undefined)
	if (named) return named
	if (panelsRead.size === 2) {
		problems.push({
			code: 'SIDE_MISSING',
			severity: 'error',
			path,
			place: { panel: panel.id },
			found: 'a reading that does not say which of the two panels was measured',
			expected: '"panel": "left" or "panel": "right"',
			fix: 'Add it: other readings here name both.',
		})
		return 'unknown'
	}
	return [...panelsRead][0]
}

/** The key a name stands for, "either" where it could be both sides, "elsewhere" where the side is of another panel. */
function keyFor(
	panel: Panel,
	marks: ReadonlyMap<string, NamedMark>,
	id: string,
	side: MarkSide | undefined,
	on: MarkSide | undefined,
): string {
	if (panel.hand === 'left' || panel.hand === 'right') return side && side !== panel.hand ? 'elsewhere' : id
	if (panel.hand === 'pair') {
		if (side && on && side !== on) return 'elsewhere'
		const own = on ? `${on}/${id}` : id
		return !marks.has(own) && marks.has(id) ? id : own
	}
	if (side) return !marks.has(`${side}/${id}`) && marks.has(id) ? id : `${side}/${id}`
	if (marks.has(id)) return id
	const left = marks.has(`left/${id}`)
	const right = marks.has(`right/${id}`)
	if (left && right) return 'either'
	return left ? `left/${id}` : right ? `right/${id}` : id
}
