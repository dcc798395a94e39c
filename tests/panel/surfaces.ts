import type { SpacePoint } from '../../src/chart/point.ts'
import type { Surface } from '../../src/panel/surface.ts'

/** Closed surfaces in closed form, and the places on them that tests ask for. */

const DEG = Math.PI / 180
/** Parameters in mm: an angle times this. */
const UNIT = 100

interface Meridian {
	/** radius and height by the angle t, with two derivatives each */
	readonly r: readonly [number, number, number]
	readonly z: readonly [number, number, number]
}

/** A surface of revolution about z: u the turn about the axis, v the meridian's angle, both times 100 mm; outward away from the axis. */
export function revolution(meridian: (t: number) => Meridian, span: readonly [number, number, number, number]): Surface {
	const k = 1 / UNIT
	return {
		uMin: span[0] * UNIT,
		uMax: span[1] * UNIT,
		vMin: span[2] * UNIT,
		vMax: span[3] * UNIT,
		jet(u, v) {
			const [c, s] = [Math.cos(u / UNIT), Math.sin(u / UNIT)]
			const { r, z } = meridian(v / UNIT)
			return {
				x: { x: r[0] * c, y: r[0] * s, z: z[0] },
				xu: { x: -r[0] * s * k, y: r[0] * c * k, z: 0 },
				xv: { x: r[1] * c * k, y: r[1] * s * k, z: z[1] * k },
				xuu: { x: -r[0] * c * k * k, y: -r[0] * s * k * k, z: 0 },
				xuv: { x: -r[1] * s * k * k, y: r[1] * c * k * k, z: 0 },
				xvv: { x: r[2] * c * k * k, y: r[2] * s * k * k, z: z[2] * k * k },
			}
		},
	}
}

/** The same surface with u along its meridians and v the other way round it, so that outward stays outward. */
export function alongMeridians(s: Surface): Surface {
	const back = (p: SpacePoint) => ({ x: -p.x, y: -p.y, z: -p.z })
	return {
		uMin: s.vMin,
		uMax: s.vMax,
		vMin: -s.uMax,
		vMax: -s.uMin,
		jet(u, v) {
			const j = s.jet(-v, u)
			return { x: j.x, xu: j.xv, xv: back(j.xu), xuu: j.xvv, xuv: back(j.xuv), xvv: j.xuu }
		},
	}
}

const ALL_ROUND = [-Math.PI, Math.PI] as const

/** Radius a at the equator, b at the poles; v is the reduced latitude. */
export const ellipsoid = (a: number, b: number, half = 1.2): Surface =>
	revolution(
		(t) => ({
			r: [a * Math.cos(t), -a * Math.sin(t), -a * Math.cos(t)],
			z: [b * Math.sin(t), b * Math.cos(t), -b * Math.sin(t)],
		}),
		[...ALL_ROUND, -half, half],
	)

/** Place on an ellipsoid by geographic latitude and longitude, degrees. */
export const geographic = (a: number, b: number, lat: number, lon: number) => ({
	u: lon * DEG * UNIT,
	v: Math.atan((b / a) * Math.tan(lat * DEG)) * UNIT,
})

export const torusSurface = (ring: number, tube: number, half = 1.3): Surface =>
	revolution(
		(t) => ({
			r: [ring + tube * Math.cos(t), -tube * Math.sin(t), -tube * Math.cos(t)],
			z: [tube * Math.sin(t), tube * Math.cos(t), -tube * Math.sin(t)],
		}),
		[...ALL_ROUND, -half, half],
	)

export const cylinderSurface = (radius: number, half: number): Surface =>
	revolution((t) => ({ r: [radius, 0, 0], z: [t * UNIT, UNIT, 0] }), [...ALL_ROUND, -half / UNIT, half / UNIT])

/** v = 100 t is the slant distance from the apex, whose cone has this radius at this slant; the apex lies up. */
export const coneSurface = (radius: number, slant: number): Surface => {
	const [s, c] = [radius / slant, Math.sqrt(1 - (radius / slant) ** 2)]
	return alongMeridians(
		revolution(
			// The meridian counted from the far end, so that outward is away from the axis.
			(t) => ({ r: [-t * UNIT * s, -UNIT * s, 0], z: [t * UNIT * c, UNIT * c, 0] }),
			[...ALL_ROUND, (-2 * slant) / UNIT, -0.05],
		),
	)
}
