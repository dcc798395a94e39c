/** Datums, baseline and readings of one panel: names, sides, order. */
import { checkUnique, type Findings, find, unknownName } from './findings.ts'
import { readRef, refsOf } from './marks.ts'
import { listed, mm, quoteValue } from './say.ts'
import type { Capture, Panel, Reading } from './schema.ts'

export interface ReadingsToCheck {
	readonly panel: Panel
	/** pointer to the panel */
	readonly path: string
	/** names of known instruments */
	readonly instruments: ReadonlySet<string>
}

interface Spot {
	readonly girth: number
	readonly side?: string
}

export function checkReadings(findings: Findings, { panel, path, instruments }: ReadingsToCheck): void {
	checkDatums(findings, panel, path)
	checkBaseline(findings, panel, path)
	for (const [shape, at] of [
		[panel.found, 'found'],
		[panel.prepared?.shape, 'prepared/shape'],
	] as const) {
		if (!shape) continue
		checkBend(findings, panel, shape, `${path}/${at}`)
		checkRing(findings, panel, shape, `${path}/${at}`)
	}
	checkUnique(findings, panel.holes, `${path}/holes`, 'hole', panel.id)
	for (const [index, hole] of panel.holes.entries()) checkSpot(findings, panel, hole, `${path}/holes/${index}`)

	const datums = datumNames(panel)
	for (const [index, reading] of panel.readings.entries()) {
		const here = `${path}/readings/${index}`
		const place = { panel: panel.id }
		if (reading.kind === 'square') {
			checkSpot(findings, panel, reading, here)
			if (datums.has(reading.mark)) {
				find(findings, () => ({
					...{ code: 'NAME_TWICE', path: `${here}/mark`, place },
					found: `a reading of the mark "${reading.mark}", which is the name of a datum`,
					expected: 'marks and datums with names of their own',
					fix: 'Give the mark another name, or put the reading into the datum.',
				}))
			}
		}
		if (reading.kind === 'crossing' || reading.kind === 'between') checkLineReading(findings, panel, reading, here)
		const refs = refsOf(reading).map(({ ref }) => ref)
		if (new Set(refs).size < refs.length) {
			find(findings, () => ({
				...{ code: 'SAME_MARK', path: here, place },
				found: `a reading between ${listed(refs.map(quoteValue), 'and')}`,
				expected: 'different marks',
				fix: 'Correct the name of one of them.',
			}))
		}
		for (const { ref, key } of refsOf(reading)) checkRefSide(findings, panel, ref, `${here}/${key}`)
		checkPanelKey(findings, panel, reading.panel, here)
		if (reading.with !== undefined && !instruments.has(reading.with)) {
			const otherwise = 'add it to the instruments of the shop file'
			unknownName(findings, {
				...{ kind: 'INSTRUMENT', name: reading.with, known: instruments, path: `${here}/with`, panel: panel.id, otherwise },
			})
		}
	}
}

/** A reading of lines names lines of this panel, and a side that they have. */
function checkLineReading(
	findings: Findings,
	panel: Panel,
	reading: Extract<Reading, { kind: 'crossing' | 'between' }>,
	path: string,
): void {
	const place = { panel: panel.id }
	const known = new Set(panel.edges.map(({ id }) => id))
	const check = (name: string, at: string) => {
		if (known.has(name)) return
		unknownName(findings, {
			kind: 'EDGE',
			name,
			known,
			path: at,
			panel: panel.id,
			otherwise: 'add an edge of this name to the panel',
		})
	}
	if (reading.kind === 'crossing') {
		check(reading.edge, `${path}/edge`)
		checkSpot(findings, panel, reading, path)
		return
	}
	for (const [i, name] of reading.lines.entries()) check(name, `${path}/lines/${i}`)
	if (reading.lines[0] === reading.lines[1]) {
		find(findings, () => ({
			...{
				code: 'SAME_EDGE',
				path: `${path}/lines/1`,
				place,
				found: `a width between ${quoteValue(reading.lines[0])} and itself`,
			},
			...{ expected: 'two lines', fix: 'Correct the name of one of them.' },
		}))
	}
	if (reading.side !== undefined && panel.hand !== 'centre') {
		find(findings, () => ({
			...{ code: 'SIDE_WRONG', path: `${path}/side`, place, found: `the side "${reading.side}" ${sidesReason(panel)}` },
			expected: 'no side',
			fix: panel.hand === 'pair' ? `Write "panel": "${reading.side}".` : 'Take it away.',
		}))
	}
}

function checkDatums(findings: Findings, panel: Panel, path: string): void {
	const place = { panel: panel.id }
	const seen = new Map<string, (string | undefined)[]>()
	for (const [index, datum] of panel.datums.entries()) {
		const here = `${path}/datums/${index}`
		checkSpot(findings, panel, datum, here)
		checkPanelKey(findings, panel, datum.panel, here)
		// the two panels of a pair are matched by datums of one name, one on each
		const before = seen.get(datum.id) ?? []
		if (before.some((other) => !other || !datum.panel || other === datum.panel)) {
			find(findings, () => ({
				...{ code: 'NAME_TWICE', path: `${here}/id`, place, found: `a second datum called "${datum.id}"` },
				...{ expected: 'each datum with a name of its own', fix: 'Give one of the two another name.' },
			}))
		}
		seen.set(datum.id, [...before, datum.panel])
	}
	const again = panel.prepared?.datums ?? []
	const known = datumNames(panel)
	checkUnique(findings, again, `${path}/prepared/datums`, 'datum', panel.id)
	for (const [index, datum] of again.entries()) {
		const here = `${path}/prepared/datums/${index}`
		checkSpot(findings, panel, datum, here)
		knownDatum(findings, panel, known, datum.id, `${here}/id`)
	}
	// Marks on the old paint are gone by then.
	for (const [index, reading] of (panel.prepared?.readings ?? []).entries()) {
		const here = `${path}/prepared/readings/${index}`
		if (reading.kind === 'square') knownDatum(findings, panel, known, reading.mark, `${here}/mark`)
		for (const { ref, key } of refsOf(reading)) knownDatum(findings, panel, known, readRef(ref).name, `${here}/${key}`)
	}
}

function datumNames(panel: Panel): ReadonlySet<string> {
	return new Set(panel.datums.map(({ id }) => id))
}

function knownDatum(findings: Findings, panel: Panel, known: ReadonlySet<string>, name: string, path: string): void {
	if (known.has(name)) return
	unknownName(findings, { kind: 'DATUM', name, known, path, panel: panel.id, otherwise: 'add it to the datums of this panel' })
}

function checkBaseline(findings: Findings, panel: Panel, path: string): void {
	const { from, to, interruptions } = panel.baseline
	const place = { panel: panel.id }
	const known = datumNames(panel)
	if (from !== undefined) knownDatum(findings, panel, known, from, `${path}/baseline/from`)
	if (to !== undefined) knownDatum(findings, panel, known, to, `${path}/baseline/to`)
	const first = panel.datums.find(({ id }) => id === from)
	const last = panel.datums.find(({ id }) => id === to)
	if (first && last && !(first.station < last.station)) {
		find(findings, () => ({
			...{ code: 'BASELINE_REVERSED', path: `${path}/baseline`, place },
			found: first === last ? `a baseline from "${from}" to itself` : `a baseline from "${from}" forward to "${to}"`,
			expected: 'a baseline that runs rearward, its first datum in front of its last',
			fix: first === last ? 'Name two datums.' : 'Change the two about, or correct their stations.',
		}))
	}
	for (const [index, gap] of interruptions.entries()) {
		if (gap.from < gap.to) continue
		find(findings, () => ({
			...{ code: 'INTERRUPTION_REVERSED', path: `${path}/baseline/interruptions/${index}`, place },
			found: `${quoteValue(gap.what)} from station ${mm(gap.from)} to ${mm(gap.to)}`,
			expected: 'a station in front, then one behind it',
			fix: gap.from === gap.to ? 'Correct one of the stations.' : 'Change the two about.',
		}))
	}
	const { stations = [], every } = panel.strips ?? {}
	if (stations.length > 0 && every !== undefined) {
		find(findings, () => ({
			...{ code: 'STRIPS_TWICE', severity: 'warning', path: `${path}/strips`, place },
			found: 'strips both at stations of their own and at a distance',
			expected: '`stations` or `every`',
			fix: 'Take one of the two away.',
		}))
	}
	const seen = new Set<number>()
	for (const [index, station] of stations.entries()) {
		if (!seen.has(station)) {
			seen.add(station)
			continue
		}
		find(findings, () => ({
			...{ code: 'STATION_TWICE', path: `${path}/strips/stations/${index}`, place },
			found: `a second strip at station ${mm(station)}`,
			expected: 'each station once',
			fix: 'Take it away, or correct it.',
		}))
	}
}

function checkBend(findings: Findings, panel: Panel, shape: Capture, path: string): void {
	if (shape.kind === 'flat' && shape.bend) checkSide(findings, panel, shape.bend.towards, `${path}/bend/towards`)
}

/** A ring has no centreline along it: it is a panel of one side, over which its stations run first. */
function checkRing(findings: Findings, panel: Panel, shape: Capture, path: string): void {
	if (shape.kind !== 'sections' || !shape.closed || panel.hand === 'left' || panel.hand === 'right') return
	find(findings, () => ({
		...{ code: 'RING_HAND', path: `${path}/closed`, place: { panel: panel.id } },
		found: `sections that go right round on a panel whose hand is "${panel.hand}"`,
		expected: '"hand": "left" or "right": the side over which stations run from the top',
		fix: 'Write one of the two.',
	}))
}

/** The sides that a place on the panel can have. */
function sidesOf(panel: Panel): readonly string[] {
	return panel.hand === 'centre' ? ['left', 'right'] : ['above', 'below']
}

function sidesReason(panel: Panel): string {
	return panel.hand === 'centre' ? 'since this panel lies on the centreline' : 'since this panel has no centreline'
}

/** A place off the baseline says on which side, and one that such a panel has. */
export function checkSpot(findings: Findings, panel: Panel, spot: Spot, path: string): void {
	if (spot.side !== undefined) checkSide(findings, panel, spot.side, `${path}/side`)
	else if (spot.girth > 0) {
		const words = sidesOf(panel).map((side) => `"side": "${side}"`)
		find(findings, () => ({
			...{ code: 'SIDE_MISSING', path, place: { panel: panel.id } },
			found: `a girth of ${mm(spot.girth)} with no side`,
			expected: `${listed(words)}, ${sidesReason(panel)}`,
			fix: `Add ${listed(words)}.`,
		}))
	}
}

function checkSide(findings: Findings, panel: Panel, side: string, path: string): void {
	const sides = sidesOf(panel)
	if (sides.includes(side)) return
	const centred = panel.hand === 'centre'
	const fix = centred
		? 'Write the side, left or right, as the driver sees it.'
		: panel.hand === 'pair' && (side === 'left' || side === 'right')
			? `Write "above" or "below", and "panel": "${side}" for the one of the pair that was measured.`
			: 'Write "above" or "below".'
	find(findings, () => ({
		...{ code: 'SIDE_WRONG', path, place: { panel: panel.id }, found: `the side "${side}"` },
		...{ expected: `${listed(sides.map((each) => `"${each}"`))}, ${sidesReason(panel)}`, fix },
	}))
}

function checkPanelKey(findings: Findings, panel: Panel, key: string | undefined, path: string): void {
	if (key === undefined || panel.hand === 'pair') return
	find(findings, () => ({
		...{ code: 'PANEL_NOT_PAIR', path: `${path}/panel`, place: { panel: panel.id } },
		found: `"panel": "${key}" on a panel whose hand is "${panel.hand}"`,
		expected: '`panel` only where the hand is "pair"',
		fix: panel.hand === 'centre' ? 'Take it away; the side goes into `side`.' : 'Take it away, or make the hand "pair".',
	}))
}

/** left/NAME only where there is a left and a right. */
export function checkRefSide(findings: Findings, panel: Panel, ref: string, path: string): void {
	if (!ref.includes('/') || panel.hand === 'centre' || panel.hand === 'pair') return
	find(findings, () => ({
		...{ code: 'SIDE_WRONG', path, place: { panel: panel.id } },
		found: `${quoteValue(ref)} on a panel that is of the ${panel.hand} only`,
		expected: 'the name of the mark alone',
		fix: `Write "${ref.split('/')[1]}".`,
	}))
}
