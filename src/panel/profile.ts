/** A shape across: by length u along it from the baseline, how far across and how far down. All mm. */
export interface Profile {
	readonly uMin: number
	readonly uMax: number
	/** Beyond its ends it runs on straight. */
	at(u: number): ProfilePoint
	/** the same place's down, slope and bend into `out`: what lengths along a panel are made of, asked for very often */
	fall(u: number, out: Float64Array): Float64Array
	/** integral of `down` from 0 to u, mm^2 */
	downIntegral(u: number): number
	/** the half towards -u is the mirror image of the other, to the last digit */
	readonly even: boolean
	/** how well a place on it is known (1 sd), mm; 0 where it was given as a closed form */
	readonly errorMm: number
	/** how well its slope is known (1 sd), from the gauge's uncertainty */
	readonly slopeSd: number
}

export interface ProfilePoint {
	readonly across: number
	readonly down: number
	/** derivatives of `down` by u */
	readonly slope: number
	readonly bend: number
	/** derivative of `across` by u */
	readonly acrossRate: number
}

/** Part of a circle of this radius, highest at the baseline. */
export function circleProfile(radius: number, arc = Math.PI * radius): Profile {
	const end = arc / 2
	return runOn({
		uMin: -end,
		uMax: end,
		even: true,
		errorMm: 0,
		slopeSd: 0,
		at: (u) => ({
			across: radius * Math.sin(u / radius),
			down: radius * (1 - Math.cos(u / radius)),
			slope: Math.sin(u / radius),
			bend: Math.cos(u / radius) / radius,
			acrossRate: Math.cos(u / radius),
		}),
		fall(u, out) {
			out[0] = radius * (1 - Math.cos(u / radius))
			out[1] = Math.sin(u / radius)
			out[2] = Math.cos(u / radius) / radius
			return out
		},
		downIntegral: (u) => radius * (u - radius * Math.sin(u / radius)),
	})
}

/** Straight, falling away towards +u by `slope` radians. */
export function straightProfile(length: number, slope: number): Profile {
	const sin = Math.sin(slope)
	const cos = Math.cos(slope)
	return {
		uMin: -length / 2,
		uMax: length / 2,
		even: slope === 0,
		errorMm: 0,
		slopeSd: 0,
		at: (u) => ({ across: u * cos, down: u * sin, slope: sin, bend: 0, acrossRate: cos }),
		fall(u, out) {
			out[0] = u * sin
			out[1] = sin
			out[2] = 0
			return out
		},
		downIntegral: (u) => (u * u * sin) / 2,
	}
}

/** The same profile, running on straight beyond its ends. */
export function runOn(inner: Profile): Profile {
	const ends = [inner.at(inner.uMin), inner.at(inner.uMax)] as const
	return {
		...inner,
		at(u) {
			if (u >= inner.uMin && u <= inner.uMax) return inner.at(u)
			const end = u < inner.uMin ? ends[0] : ends[1]
			const over = u < inner.uMin ? u - inner.uMin : u - inner.uMax
			return {
				across: end.across + end.acrossRate * over,
				down: end.down + end.slope * over,
				slope: end.slope,
				bend: 0,
				acrossRate: end.acrossRate,
			}
		},
		fall(u, out) {
			if (u >= inner.uMin && u <= inner.uMax) return inner.fall(u, out)
			const end = u < inner.uMin ? ends[0] : ends[1]
			out[0] = end.down + end.slope * (u < inner.uMin ? u - inner.uMin : u - inner.uMax)
			out[1] = end.slope
			out[2] = 0
			return out
		},
		downIntegral(u) {
			if (u >= inner.uMin && u <= inner.uMax) return inner.downIntegral(u)
			const at = u < inner.uMin ? inner.uMin : inner.uMax
			const end = u < inner.uMin ? ends[0] : ends[1]
			const over = u - at
			return inner.downIntegral(at) + end.down * over + (end.slope * over * over) / 2
		},
	}
}
