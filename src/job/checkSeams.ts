/** Seams between panels: the panels, datums and edges that they name. */
import { checkRefSide } from './checkReadings.ts'
import { type Findings, find, unknownName } from './findings.ts'
import { readRef } from './marks.ts'
import { listed, quoteValue } from './say.ts'
import type { Panel, Seam } from './schema.ts'

export function checkSeams(findings: Findings, panels: readonly Panel[]): void {
	for (const [index, panel] of panels.entries()) {
		for (const [k, seam] of (panel.seams ?? []).entries()) checkSeam(findings, panels, panel, seam, `/panels/${index}/seams/${k}`)
	}
}

function checkSeam(findings: Findings, panels: readonly Panel[], panel: Panel, seam: Seam, path: string): void {
	const place = { panel: panel.id }
	if (seam.with === panel.id) {
		find(findings, () => ({
			...{ code: 'SEAM_WITH_ITSELF', path: `${path}/with`, place, found: `a seam of "${panel.id}" with itself` },
			...{ expected: 'the name of the panel on the other side', fix: 'Write the name of that panel.' },
		}))
		return
	}
	const other = panels.find(({ id }) => id === seam.with)
	if (!other) {
		const known = panels.flatMap(({ id }) => (id === panel.id ? [] : [id]))
		const otherwise = 'add a panel of this name to the job'
		unknownName(findings, { kind: 'PANEL', name: seam.with, known, path: `${path}/with`, panel: panel.id, otherwise })
	}
	checkNames(findings, panel, seam, path)
	// What is wrong stands with the panel that declares the seam, whichever of the two it names.
	for (const [side, of] of [panel, other].entries()) {
		if (!of) continue
		checkDatums(
			findings,
			of,
			panel.id,
			seam.datums.map((pair) => pair[side] as string),
			(i) => `${path}/datums/${i}/${side}`,
		)
		for (const [i, pair] of seam.lines.entries()) {
			const name = pair[side] as string
			if (of.edges.some(({ id }) => id === name)) continue
			const known = of.edges.map(({ id }) => id)
			const otherwise = `add an edge of this name to ${of.id}`
			unknownName(findings, { kind: 'EDGE', name, known, path: `${path}/lines/${i}/${side}`, panel: panel.id, otherwise })
		}
	}
}

/** The panel that stands proud and the one that keeps its lines are two of the seam's own. */
function checkNames(findings: Findings, panel: Panel, seam: Seam, path: string): void {
	for (const [said, at] of [
		[seam.proud?.panel, 'proud/panel'],
		[seam.tie?.keeps, 'tie/keeps'],
	] as const) {
		if (said === undefined || said === panel.id || said === seam.with) continue
		find(findings, () => ({
			...{ code: 'SEAM_OTHER_PANEL', path: `${path}/${at}`, place: { panel: panel.id } },
			found: `"${said}", which is neither of the two panels of this seam`,
			expected: `"${panel.id}" or "${seam.with}"`,
			fix: 'Write the name of one of the two.',
		}))
	}
	if (seam.tie && seam.lines.length === 0) {
		find(findings, () => ({
			...{ code: 'SEAM_TIE_EMPTY', path: `${path}/tie`, place: { panel: panel.id } },
			found: 'a tie, but no lines that go on over the seam',
			expected: 'the lines of both panels that it ties, as pairs under "lines"',
			fix: 'Name the lines, or take the tie away.',
		}))
	}
}

/** The datums of one of the two panels that a seam names, in order: known, each once, and all on one panel of a pair. */
function checkDatums(findings: Findings, of: Panel, at: string, refs: readonly string[], pathOf: (i: number) => string): void {
	const place = { panel: at }
	const known = new Set(of.datums.map(({ id }) => id))
	for (const [i, ref] of refs.entries()) {
		const path = pathOf(i)
		const { name, side } = readRef(ref)
		if (!known.has(name)) {
			const otherwise = `add it to the datums of ${of.id}`
			unknownName(findings, { kind: 'DATUM', name, known, path, panel: at, otherwise })
			continue
		}
		checkRefSide(findings, of, ref, path)
		const twins = of.datums.filter(({ id }) => id === name)
		// Above and below are no sides of the vehicle.
		const sides: string[] = twins.flatMap(
			(datum) => (of.hand === 'pair' ? datum.panel : of.hand === 'centre' ? datum.side : []) ?? [],
		)
		if (side === undefined && twins.length > 1) {
			find(findings, () => ({
				...{ code: 'SIDE_MISSING', path, place, found: `"${name}" in a seam, a datum on both sides of ${of.id}` },
				...{ expected: `"left/${name}" or "right/${name}"`, fix: 'Say which of the two.' },
			}))
		} else if (side !== undefined && sides.length > 0 && !sides.includes(side)) {
			find(findings, () => ({
				...{ code: 'SIDE_NOT_READ', path, place, found: `"${ref}", but no datum "${name}" of ${of.id} lies there` },
				...{ expected: `"${name}", or the side that it has`, fix: `Write "${name}", or correct the side.` },
			}))
		}
		if (refs.indexOf(ref) < i) {
			find(findings, () => ({
				...{ code: 'SAME_DATUM', path, place, found: `the datum "${ref}" of ${of.id} a second time` },
				...{ expected: 'two different datums or more on each panel', fix: 'Name another datum, or take this pair away.' },
			}))
		}
	}
	const sides = [...new Set(refs.map((ref) => readRef(ref).side))]
	if (of.hand === 'pair' && sides.length > 1) {
		find(findings, () => ({
			...{ code: 'SEAM_SIDES', path: pathOf(0), place },
			found: `a seam along ${listed(refs.map(quoteValue), 'and')}, which do not lie on one panel of the pair ${of.id}`,
			expected: 'datums that are all on its left panel, or all on its right one',
			fix: 'Declare a seam for each side.',
		}))
	}
}
