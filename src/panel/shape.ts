import type { Chart } from '../chart/chart.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Capture, Panel, ProfileShape } from '../job/schema.ts'
import { flatChart } from './flat.ts'
import { type PanelFrame, panelFrame } from './frame.ts'
import { GAUGE_SD_MM, gaugeProfile } from './gauge.ts'
import { circleProfile, type Profile, straightProfile } from './profile.ts'
import { revolvedChart } from './revolved.ts'
import { coneChart, rolledAlong, rolledRound } from './rolled.ts'
import { sectionsChart } from './sections.ts'
import { tapedChart } from './taped/chart.ts'

/**
 * The chart of one panel as captured, seen from one hand (a pair of panels is two charts of opposite orientation).
 * @param path JSON pointer to the capture, for problems
 */
export function chartOf(id: string, hand: 'centre' | 'left' | 'right', capture: Capture, path: string): Outcome<Chart> {
	const frame = panelFrame(id, hand)
	switch (capture.kind) {
		case 'flat':
			return { value: flat(frame, capture, hand), problems: [] }
		case 'rolled':
			return rolled(frame, capture, path)
		case 'revolved':
			return revolved(frame, capture, path)
		case 'sections':
			return sectionsChart(frame, capture, path)
		case 'taped':
			return tapedChart(frame, capture, path, { centred: hand === 'centre' })
		case 'scan':
			// Who loads a job reads its scans; a panel whose scan could not be read has its problem from there.
			return bad(
				`${path}/file`,
				'SCAN_NOT_READ',
				`the scan ${capture.file}, which has not been read`,
				'a scan that could be read',
				'look at what is said of the scan; the other panels are not touched by it',
			)
	}
}

/** The hands that a panel has charts for. */
export function handsOf(panel: Panel): readonly ('centre' | 'left' | 'right')[] {
	return panel.hand === 'pair' ? ['left', 'right'] : [panel.hand]
}

function flat(frame: PanelFrame, capture: Extract<Capture, { kind: 'flat' }>, hand: string): Chart {
	const { bend } = capture
	// The centre of the bend lies to the right of a centreline, or above on a one-sided panel, for a positive curvature.
	const plus = hand === 'centre' ? 'right' : 'above'
	return flatChart(frame, {
		front: capture.front,
		length: capture.length,
		width: capture.width,
		bend: bend ? (bend.towards === plus ? 1 : -1) / bend.radius : 0,
	})
}

function rolled(frame: PanelFrame, capture: Extract<Capture, { kind: 'rolled' }>, path: string): Outcome<Chart> {
	const { round } = capture
	if ('cone' in round) {
		const { cone } = round
		if (Math.abs(cone.rearDiameter - cone.frontDiameter) < 0.01) {
			return bad(
				`${path}/round/cone`,
				'CONE_IS_CYLINDER',
				'both diameters are the same',
				'two different diameters',
				'give the panel as a profile with a radius',
			)
		}
		if (Math.abs(cone.rearDiameter - cone.frontDiameter) / 2 >= cone.slant) {
			return bad(
				`${path}/round/cone/slant`,
				'CONE_IMPOSSIBLE',
				`a slant of ${round1(cone.slant)} mm, shorter than half the difference of the diameters`,
				'a longer slant',
				'measure the slant along the slope, not along the axis',
			)
		}
		return { value: coneChart(frame, cone, capture.front), problems: [] }
	}
	const profile = profileOf(round.profile, `${path}/round/profile`)
	if (!profile.value) return { problems: profile.problems }
	const value =
		round.baseline === 'along-axis'
			? rolledAlong(frame, profile.value, capture.front, capture.length)
			: rolledRound(frame, profile.value, capture.length)
	return { value, problems: profile.problems }
}

function revolved(frame: PanelFrame, capture: Extract<Capture, { kind: 'revolved' }>, path: string): Outcome<Chart> {
	const { crown } = capture
	if ('rise' in crown && crown.rise > crown.chord / 2) {
		return bad(
			`${path}/crown/rise`,
			'CROWN_IMPOSSIBLE',
			`a rise of ${round1(crown.rise)} mm over a chord of ${round1(crown.chord)} mm`,
			'a rise of no more than half the chord: beyond that it is more than half a circle',
			"look whether the two were put in each other's place; else measure over a shorter chord",
		)
	}
	const [radius, radiusSd] =
		'radius' in crown
			? [crown.radius, 0]
			: [
					(crown.chord * crown.chord) / (8 * crown.rise) + crown.rise / 2,
					Math.abs(0.5 - (crown.chord * crown.chord) / (8 * crown.rise * crown.rise)) * GAUGE_SD_MM,
				]
	const profile = profileOf(capture.profile, `${path}/profile`)
	if (!profile.value) return { problems: profile.problems }
	const deepest = Math.max(profile.value.at(profile.value.uMin).down, profile.value.at(profile.value.uMax).down)
	if (deepest >= radius) {
		return bad(
			`${path}/crown`,
			'PROFILE_PAST_AXIS',
			`a crown radius of ${round1(radius)} mm and a cross-section ${round1(deepest)} mm deep`,
			'a cross-section shallower than the radius',
			'measure the chord and its rise again, both along the crown',
		)
	}
	return {
		value: revolvedChart(frame, radius, profile.value, capture.front, capture.length, radiusSd),
		problems: profile.problems,
	}
}

function profileOf(shape: ProfileShape, path: string): Outcome<Profile> {
	if ('radius' in shape) {
		const most = 2 * Math.PI * shape.radius
		if (shape.arc !== undefined && shape.arc > most) {
			return bad(
				`${path}/arc`,
				'ARC_TOO_LONG',
				`an arc of ${round1(shape.arc)} mm`,
				`at most once round, ${round1(most)} mm`,
				'measure the radius again',
			)
		}
		return { value: circleProfile(shape.radius, shape.arc), problems: [] }
	}
	if ('straight' in shape) return { value: straightProfile(shape.straight, (shape.slopeDeg * Math.PI) / 180), problems: [] }
	return gaugeProfile(shape.points, { half: shape.half, sd: shape.sd ?? GAUGE_SD_MM, path: `${path}/points` })
}

const round1 = (x: number) => (Math.round(x * 10) / 10).toString()

function bad(path: string, code: string, found: string, expected: string, fix: string): { problems: Problem[] } {
	return { problems: [{ code, severity: 'error', path, found, expected, fix }] }
}
