import type { Problem } from '../job/problem.ts'
import type { LoftSection } from './loft.ts'
import { panelProblem } from './panelProblem.ts'

/** Two sections at the same place are one. */
const SAME_PLACE_MM = 0.5
/** A section so much longer or shorter than the mean of its neighbours is of another panel or in another unit; at an end, of the one next to it. */
const ODD_INNER = 1.5
const ODD_END = 3
/** A mirror image must fit its neighbours so much better, and as it stands it must be so far off, before it is named. */
const MIRRORED_SHARE = 0.35
const MIRRORED_MM = 2

/** What is wrong between the sections of one panel; the first thing only, since the rest follows from it. */
export function sectionTrouble(sections: readonly LoftSection[], path: string, sd: number): readonly Problem[] {
	return (
		order(sections, path) ??
		creaseCounts(sections, path) ??
		lengths(sections, path) ??
		mirrored(sections, path, sd) ??
		crossing(sections, path) ??
		[]
	)
}

function order(sections: readonly LoftSection[], path: string): readonly Problem[] | undefined {
	for (let i = 1; i < sections.length; i++) {
		const [a, b] = [sections[i - 1] as LoftSection, sections[i] as LoftSection]
		if (b.u - a.u >= SAME_PLACE_MM) continue
		const same = Math.abs(b.u - a.u) < SAME_PLACE_MM
		return panelProblem(
			`${path}/sections/${i}/along`,
			same ? 'SECTION_REPEATS' : 'SECTIONS_OUT_OF_ORDER',
			`section ${i + 1} at ${round(b.u)} mm along, after section ${i} at ${round(a.u)} mm`,
			'sections in order from front to rear, each further along than the one before',
			same ? 'take one of the two out, or correct its "along"' : 'put the sections in order, or correct the "along" of this one',
		).problems
	}
	return undefined
}

function creaseCounts(sections: readonly LoftSection[], path: string): readonly Problem[] | undefined {
	const wanted = (sections[0] as LoftSection).creases.length
	const i = sections.findIndex((s) => s.creases.length !== wanted)
	if (i < 0) return undefined
	return panelProblem(
		`${path}/sections/${i}/creases`,
		'CREASES_DIFFER',
		`${count(sections[i]?.creases.length as number)} in section ${i + 1}, ${count(wanted)} in the first one`,
		'every crease in every section, in the same order across',
		'give the place of each crease in every section; a crease that ends on the panel runs out as an ordinary reading on its line',
	).problems
}
const count = (n: number) => (n === 1 ? '1 crease' : `${n} creases`)

function lengths(sections: readonly LoftSection[], path: string): readonly Problem[] | undefined {
	const of = sections.map(({ points }) =>
		points.slice(1).reduce((sum, [x, d], i) => {
			const [x0, d0] = points[i] as readonly [number, number]
			return sum + Math.hypot(x - x0, d - d0)
		}, 0),
	)
	const oddness = of.map((own, i) => {
		const [before, after] = [of[i - 1], of[i + 1]]
		const inner = before !== undefined && after !== undefined
		const expected = inner ? (before + after) / 2 : (before ?? after ?? own)
		return Math.max(own / expected, expected / own) / (inner ? ODD_INNER : ODD_END)
	})
	// A section that is odd makes its neighbours odd too, but less so.
	const worst = oddness.indexOf(Math.max(...oddness))
	if ((oddness[worst] as number) <= 1) return undefined
	const neighbours = [of[worst - 1], of[worst + 1]].flatMap((x) => (x === undefined ? [] : [round(x)]))
	return panelProblem(
		`${path}/sections/${worst}`,
		'SECTION_LENGTH_ODD',
		`section ${worst + 1} is ${round(of[worst] as number)} mm round, ${neighbours.join(' and ')} mm beside it`,
		'neighbouring sections of about the same length, over the same part of the panel',
		'look for readings left out or given in another unit; a panel that changes so quickly needs a section in between',
	).problems
}

/** Depth of a section at a place across, straight between readings; undefined beyond them. */
function depth(points: LoftSection['points'], x: number): number | undefined {
	for (let i = 1; i < points.length; i++) {
		const [[x0, d0], [x1, d1]] = [points[i - 1], points[i]] as [readonly [number, number], readonly [number, number]]
		if (x >= x0 && x <= x1 && x1 > x0) return d0 + ((d1 - d0) * (x - x0)) / (x1 - x0)
	}
	return undefined
}

/** How far a section lies from the mean of its neighbours, as it is and mirrored: rms of depth, each about its own mean. */
function mirrored(sections: readonly LoftSection[], path: string, sd: number): readonly Problem[] | undefined {
	for (let i = 1; i + 1 < sections.length; i++) {
		const [before, own, after] = [sections[i - 1], sections[i], sections[i + 1]] as [LoftSection, LoftSection, LoftSection]
		const share = (own.u - before.u) / (after.u - before.u)
		const rms = (flip: 1 | -1) => {
			const off: number[] = []
			for (const [x, d] of own.points) {
				const [a, b] = [depth(before.points, flip * x), depth(after.points, flip * x)]
				if (a !== undefined && b !== undefined) off.push(d - a * (1 - share) - b * share)
			}
			const mean = off.reduce((sum, v) => sum + v, 0) / off.length
			return Math.sqrt(off.reduce((sum, v) => sum + (v - mean) ** 2, 0) / off.length)
		}
		const asIs = rms(1)
		if (!(asIs > Math.max(MIRRORED_MM, 3 * sd) && rms(-1) < MIRRORED_SHARE * asIs)) continue
		return panelProblem(
			`${path}/sections/${i}`,
			'SECTION_MIRRORED',
			`section ${i + 1}, which fits its neighbours to ${round(rms(-1))} mm the other way round and to ${round(asIs)} mm as it stands`,
			'left readings negative, right ones positive (below and above on a panel of one side), in every section',
			'change the signs across of this section and give its readings in the opposite order, if it was read from the other end',
		).problems
	}
	return undefined
}

/** Planes that lean may cross within the panel. */
function crossing(sections: readonly LoftSection[], path: string): readonly Problem[] | undefined {
	for (let i = 1; i < sections.length; i++) {
		const [a, b] = [sections[i - 1] as LoftSection, sections[i] as LoftSection]
		// A section's plane by its zero and the direction square to it.
		const [zero, right, under] = [a.place(0, 0), a.place(1, 0), a.place(0, 1)]
		const n = normal(zero, right, under)
		const k = b.points.findIndex(([x, d]) => {
			const p = b.place(x, d)
			return n.x * (p.x - zero.x) + n.y * (p.y - zero.y) + n.z * (p.z - zero.z) <= 0
		})
		if (k < 0) continue
		return panelProblem(
			`${path}/sections/${i}`,
			'SECTIONS_CROSS',
			`section ${i + 1}, which at reading ${k + 1} lies in front of section ${i}`,
			'sections that do not meet anywhere on the panel',
			'look at the "along" of both and at the crown readings; where the crown is bent sharply, use parallel sections',
		).problems
	}
	return undefined
}

function normal(o: { x: number; y: number; z: number }, a: typeof o, b: typeof o) {
	const [p, q] = [a, b].map((t) => [t.x - o.x, t.y - o.y, t.z - o.z]) as [number[], number[]]
	const [px, py, pz, qx, qy, qz] = [...p, ...q] as [number, number, number, number, number, number]
	// Across times down points rearward: (y) x (-z) = -x, so the other way round.
	return { x: -(py * qz - pz * qy), y: -(pz * qx - px * qz), z: -(px * qy - py * qx) }
}

const round = (x: number) => (Math.round(x * 10) / 10).toString()
