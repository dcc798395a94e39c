import type { Chart } from '../../src/chart/chart.ts'
import type { SpacePoint } from '../../src/chart/point.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { circleProfile, type Profile } from '../../src/panel/profile.ts'
import { revolvedChart } from '../../src/panel/revolved.ts'

/** Panels with hollows, in closed form. */

export interface Arc {
	readonly length: number
	/** positive where the panel is full, 1/mm */
	readonly bend: number
}

/** A shape across made of arcs and straight parts, each leaving the one before in its direction, the whole about its middle. */
export function arcsProfile(arcs: readonly Arc[]): Profile & { readonly arcs: readonly Arc[] } {
	const half = arcs.reduce((sum, { length }) => sum + length, 0) / 2
	const walk = (u: number) => {
		let [left, across, down, slope] = [u + half, 0, 0, 0]
		for (const [i, { length, bend }] of arcs.entries()) {
			const t = i === arcs.length - 1 ? left : Math.min(left, length)
			const next = slope + bend * t
			across += bend === 0 ? t * Math.cos(slope) : (Math.sin(next) - Math.sin(slope)) / bend
			down += bend === 0 ? t * Math.sin(slope) : (Math.cos(slope) - Math.cos(next)) / bend
			slope = next
			left -= t
			if (left <= 0) return { across, down, slope, bend }
		}
		return { across, down, slope, bend: 0 }
	}
	const middle = walk(0)
	const at = (u: number) => {
		const { across, down, slope, bend } = walk(u)
		return {
			...{ across: across - middle.across, down: down - middle.down },
			...{ slope: Math.sin(slope), bend: bend * Math.cos(slope), acrossRate: Math.cos(slope) },
		}
	}
	return {
		...{ arcs, at, uMin: -half, uMax: half, even: false, errorMm: 0, slopeSd: 0 },
		fall(u, out) {
			const { down, slope, bend } = at(u)
			out.set([down, slope, bend])
			return out
		},
		downIntegral: () => {
			throw new Error('no areas here')
		},
	}
}

/** A waist of this radius between full ends, its meridian a circle of radius `tube`, and how far a place lies outside of it. */
export function waist(radius: number, tube: number): { readonly chart: Chart; outside(p: SpacePoint): number } {
	const chart = revolvedChart(panelFrame('waist', 'centre'), radius, circleProfile(-tube, 2 * tube), -300, 600)
	return {
		chart,
		outside: ({ x, y, z }) => {
			// The axis lies across, under the baseline; the meridian's circle about it where its ring is.
			const off = Math.hypot(x, z + radius)
			return off > radius + tube ? tube : tube - Math.hypot(radius + tube - off, y)
		},
	}
}
