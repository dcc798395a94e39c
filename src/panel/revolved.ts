import { type Chart, metricRoom } from '../chart/chart.ts'
import { LEAST_J, MOST_J } from '../chart/limits.ts'
import { RUN_ON_MM } from './flat.ts'
import type { PanelFrame } from './frame.ts'
import type { Profile } from './profile.ts'

/**
 * A cross-section swept about an axis, about the parallel at the crown: with r(g) the distance from the axis,
 * J = r(g)/r(0), K = -r''/r. Girth lines are the cross-sections themselves (meridians, geodesics).
 * do Carmo 4-4, example 5 (surfaces of revolution).
 * @param crownSd how well the crown's radius is known (1 sd), mm
 */
export function revolvedChart(
	frame: PanelFrame,
	crownRadius: number,
	profile: Profile,
	front: number,
	length: number,
	crownSd = 0,
): Chart {
	const radius = (g: number) => crownRadius - profile.at(g).down
	const limit = (to: number) => {
		// The profile may come so near the axis (or so far from it) that 1 mm of baseline says little: stop there.
		const inside = (g: number) => {
			const j = radius(g) / crownRadius
			return j >= LEAST_J && j <= MOST_J
		}
		if (inside(to)) return to
		let good = 0
		let bad = to
		for (let i = 0; i < 60; i++) {
			const g = (good + bad) / 2
			if (inside(g)) good = g
			else bad = g
		}
		return good
	}
	/**
	 * In-surface curvature of a parallel is slope / (R - down): its error by the slope and by R, at their worst at the ends of
	 * the cross-section or where it comes nearest to the axis.
	 */
	const curvatureSd = (g: number) => {
		const r = radius(g)
		return Math.hypot(profile.slopeSd / r, (profile.at(g).slope * crownSd) / (r * r))
	}
	const gMax = limit(profile.uMax)
	const gMin = limit(profile.uMin)
	const short = gMax < profile.uMax || gMin > profile.uMin
	const fall = new Float64Array(3)
	return {
		id: frame.id,
		sMin: front - RUN_ON_MM,
		sMax: front + length + RUN_ON_MM,
		gMin: () => gMin,
		gMax: () => gMax,
		limitReason: short
			? 'the panel has come so near its axis that readings square off this baseline no longer fix a place'
			: 'the cross-section was measured only that far',
		orientation: frame.orientation,
		euclidean: false,
		symmetric: profile.even,
		developable: false,
		metric(_, g, into = metricRoom()) {
			profile.fall(g, fall)
			const r = Math.max(crownRadius - (fall[0] as number), 0.02 * crownRadius)
			into.j = r / crownRadius
			into.jg = -(fall[1] as number) / crownRadius
			into.js = 0
			into.k = (fall[2] as number) / r
			return into
		},
		girthIntegral: (_, g) => g - profile.downIntegral(g) / crownRadius,
		baselineCurvature: () => profile.at(0).slope / crownRadius,
		embed({ s, g }) {
			const p = profile.at(g)
			const r = crownRadius - p.down
			const turn = s / crownRadius
			return frame.place(r * Math.sin(turn), p.across, r * Math.cos(turn) - crownRadius)
		},
		errorMm: profile.errorMm,
		curvatureSd: Math.max(...[0, gMin, gMax].map(curvatureSd)),
	}
}
