import type { Chart } from '../chart/chart.ts'
import { FAR_MM, RUN_ON_MM } from './flat.ts'
import type { PanelFrame } from './frame.ts'
import type { Profile } from './profile.ts'

const base = (frame: PanelFrame) => ({
	id: frame.id,
	orientation: frame.orientation,
	euclidean: true,
	symmetric: true,
	developable: true,
	metric: () => FLAT,
	girthIntegral: (_: number, g: number) => g,
	baselineCurvature: () => 0,
	limitReason: 'the panel was measured only that far',
	curvatureSd: 0,
})
const FLAT = { j: 1, jg: 0, js: 0, k: 0 }

/** A sheet bent one way, its baseline along the straight direction: girth is length round the profile. K = 0, J = 1. */
export function rolledAlong(frame: PanelFrame, profile: Profile, front: number, length?: number): Chart {
	return {
		...base(frame),
		symmetric: profile.even,
		sMin: length === undefined ? -FAR_MM : front - RUN_ON_MM,
		sMax: length === undefined ? FAR_MM : front + length + RUN_ON_MM,
		gMin: () => profile.uMin,
		gMax: () => profile.uMax,
		embed({ s, g }) {
			const p = profile.at(g)
			return frame.place(s, p.across, -p.down)
		},
		errorMm: profile.errorMm,
	}
}

/** A sheet bent one way, its baseline round the profile: girth is straight. K = 0, J = 1. */
export function rolledRound(frame: PanelFrame, profile: Profile, width?: number): Chart {
	const reach = width === undefined ? FAR_MM : width
	return {
		...base(frame),
		sMin: profile.uMin - RUN_ON_MM,
		sMax: profile.uMax + RUN_ON_MM,
		gMin: () => -reach,
		gMax: () => reach,
		embed({ s, g }) {
			const p = profile.at(s)
			return frame.place(p.across, g, -p.down)
		},
		errorMm: profile.errorMm,
	}
}

/**
 * A cone or frustum about its generator: (s, g) are the plane's own coordinates of the unrolled sector, whose radius is the
 * slant distance from the apex and whose angle is the turn about the axis times sin(half-angle).
 */
export function coneChart(
	frame: PanelFrame,
	cone: { readonly frontDiameter: number; readonly rearDiameter: number; readonly slant: number },
	front: number,
): Chart {
	const sin = (cone.rearDiameter - cone.frontDiameter) / (2 * cone.slant)
	const cos = Math.sqrt(1 - sin * sin)
	const way = Math.sign(sin)
	// Signed slant distance from the apex at station s: positive behind an apex that lies in front.
	const fromApex = (s: number) => s - front + cone.frontDiameter / 2 / sin
	const near = Math.min(Math.abs(fromApex(front)), Math.abs(fromApex(front + cone.slant)))
	const far = Math.max(Math.abs(fromApex(front)), Math.abs(fromApex(front + cone.slant)))
	const half = Math.min(Math.PI * Math.abs(sin), Math.PI / 2 - 0.05)
	const reach = (s: number) => {
		const x = Math.abs(fromApex(s))
		return Math.min(x * Math.tan(half), Math.sqrt(Math.max(0, (far + RUN_ON_MM) ** 2 - x * x)))
	}
	const ends = [near * Math.cos(half) - RUN_ON_MM / 4, far + RUN_ON_MM].map(
		(x) => way * Math.max(0, x) + front - cone.frontDiameter / 2 / sin,
	)
	return {
		...base(frame),
		sMin: Math.min(...ends),
		sMax: Math.max(...ends),
		gMin: (s) => -reach(s),
		gMax: reach,
		limitReason: 'the cone ends there, or has gone half-way round',
		embed({ s, g }) {
			const x = fromApex(s)
			const slant = Math.hypot(x, g)
			const turn = Math.atan2(g, Math.abs(x)) / Math.abs(sin)
			const r = slant * Math.abs(sin)
			// Along the axis from the front end; the generator at turn 0 is the baseline, outward its normal.
			const along = way * slant * cos - (cone.frontDiameter / 2 / sin) * cos
			return frame.place(along, r * Math.sin(turn), r * Math.cos(turn) - cone.frontDiameter / 2)
		},
		errorMm: 0,
	}
}
