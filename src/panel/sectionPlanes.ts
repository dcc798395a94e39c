import type { SpacePoint } from '../chart/point.ts'
import type { Outcome } from '../job/problem.ts'
import type { Capture } from '../job/schema.ts'
import { bothHalves, GAUGE_SD_MM, gaugeProfile, profileTrouble } from './gauge.ts'
import type { LoftSection } from './loft.ts'
import { panelProblem } from './panelProblem.ts'

export type SectionsCapture = Extract<Capture, { kind: 'sections' }>
export type SectionInput = SectionsCapture['sections'][number]
/** A section with its readings, not a tracing that has yet to be read. */
export type ReadSection = Exclude<SectionInput, { traced: string }>
type Reading = readonly [number, number]

/** Readings of a crease are named by their place across: as exactly as they are written. */
const SAME_MM = 0.05

/** Every section in its plane: parallel to the others along one straight-edge, or square to the crown line. */
export function placedSections(capture: SectionsCapture, path: string): Outcome<readonly LoftSection[]> {
	const planes = capture.crown ? squareToCrown(capture.crown, `${path}/crown`) : { value: parallel, problems: [] }
	const problems = [...planes.problems]
	const list = capture.sections.flatMap((section, i): LoftSection[] => {
		const at = `${path}/sections/${i}`
		// Who loads a job reads its tracings; one that could not be read has its problem from there.
		if ('traced' in section) {
			const words = ['a tracing that has not been read', 'a tracing that could be read', 'look at what is said of it'] as const
			problems.push(...panelProblem(`${at}/traced`, 'TRACING_NOT_READ', ...words).problems)
			return []
		}
		const points = readingsOf(section)
		const trouble = profileTrouble('points' in section ? section.points : points, {
			half: 'points' in section && section.half,
			path: 'points' in section ? `${at}/points` : at,
		})
		if (trouble) {
			problems.push(...trouble.problems)
			return []
		}
		const creases = creasesOf(section, points, at)
		problems.push(...creases.problems)
		if (!creases.value || !planes.value) return []
		const place = planes.value(section.along)
		return [{ u: section.along, points, creases: creases.value, place: (a, d) => place(a, d + section.drop) }]
	})
	return list.length === capture.sections.length && planes.value ? { value: list, problems } : { problems }
}

function readingsOf(section: ReadSection): readonly Reading[] {
	if ('points' in section) return section.half ? bothHalves(section.points) : section.points
	const left = section.left.map(([x, d]) => [-Math.abs(x), d] as const).reverse()
	const right = section.right.map(([x, d]) => [Math.abs(x), d] as const)
	const [a, b] = [left[left.length - 1], right[0]] as [Reading, Reading]
	// Both halves may have read the centre: it is one place, in the middle of the two.
	if (Math.abs(a[0]) < SAME_MM && Math.abs(b[0]) < SAME_MM)
		return [...left.slice(0, -1), [0, (a[1] + b[1]) / 2], ...right.slice(1)]
	return [...left, ...right]
}

function creasesOf(section: ReadSection, points: readonly Reading[], at: string): Outcome<readonly number[]> {
	const mirrored = 'points' in section && section.half
	const across = mirrored ? section.creases.flatMap((x) => [-x, x]) : section.creases
	const found = across.map((x) => points.findIndex((p, i) => i > 0 && i < points.length - 1 && Math.abs(p[0] - x) < SAME_MM))
	const missing = found.findIndex((i) => i < 0)
	if (missing >= 0) {
		return panelProblem(
			`${at}/creases/${mirrored ? missing >> 1 : missing}`,
			'CREASE_NOT_READ',
			`a crease at ${across[missing]} across where the section has no reading, or its first or last one`,
			'the place across of a reading on the crease, with readings on both sides of it',
			'read the gauge on the crease itself and add that reading to the section',
		)
	}
	return { value: [...new Set(found)].sort((a, b) => a - b), problems: [] }
}

type Plane = (along: number) => (across: number, down: number) => SpacePoint

const parallel: Plane = (along) => (across, down) => ({ x: along, y: across, z: -down })

function squareToCrown(crown: NonNullable<SectionsCapture['crown']>, path: string): Outcome<Plane> {
	const points = crown.points
	const [first, last] = [points[0], points[points.length - 1]] as [Reading, Reading]
	if (!(last[0] > first[0])) {
		return panelProblem(
			`${path}/points`,
			'CROWN_ORDER',
			`crown readings from ${first[0]} to ${last[0]} along`,
			'readings in order from front to rear, counted rearward',
			'put the readings of the crown in order',
		)
	}
	// A profile counts its length from its middle; the tape on the crown starts at its first reading.
	const middle = (first[0] + last[0]) / 2
	const profile = gaugeProfile(
		points.map(([x, d]) => [x - middle, d] as const),
		{ half: false, sd: crown.sd ?? GAUGE_SD_MM, path: `${path}/points` },
	)
	if (!profile.value) return { problems: profile.problems }
	const { at, uMin } = profile.value
	const top = at(uMin)
	return {
		value: (along) => {
			const c = at(uMin + along)
			// Outward is square to the crown: (slope, acrossRate) in (along, outward).
			return (across, down) => ({
				x: first[0] + c.across - top.across - down * c.slope,
				y: across,
				z: -(c.down - top.down) - down * c.acrossRate,
			})
		},
		problems: [],
	}
}
