import { applyTransposedQ, factorColumns, solveFactor } from './columnQr.ts'

/** Steps that hardly differ from those before say nothing new. */
const RANK_TOLERANCE = 1e-10

/** Mixes the steps of a fixed-point iteration x <- G(x). */
export interface Mixing {
	/** the next place to try, from the last one and where G takes it */
	step(x: Float64Array, gx: Float64Array): Float64Array
	/** forgets the steps so far */
	reset(): void
}

/**
 * Anderson's mixing of the last `depth` steps: the combination whose residual G(x) - x is least by least squares (Anderson,
 * J. ACM 12, 1965; Walker & Ni, SIAM J. Numer. Anal. 49, 2011, unconstrained form).
 */
export function anderson(depth: number): Mixing {
	let changes: { readonly f: Float64Array; readonly g: Float64Array }[] = []
	let last: { readonly f: Float64Array; readonly g: Float64Array } | undefined
	return {
		step(x, gx) {
			const f = gx.map((v, i) => v - x[i]!)
			if (last) {
				const { f: f0, g: g0 } = last
				changes.push({ f: f.map((v, i) => v - f0[i]!), g: gx.map((v, i) => v - g0[i]!) })
				if (changes.length > depth) changes.shift()
			}
			last = { f, g: gx }
			const out = gx.slice()
			const m = changes.length
			if (m === 0) return out
			// Each change scaled to length 1, so that the rank is judged fairly.
			const size = changes.map((c) => Math.sqrt(dot(c.f, c.f)) || 1)
			const gram = new Float64Array(m * m)
			for (let i = 0; i < m; i++) {
				for (let k = i; k < m; k++) {
					const v = dot(changes[i]!.f, changes[k]!.f) / (size[i]! * size[k]!)
					gram[i * m + k] = v
					gram[k * m + i] = v
				}
			}
			const qr = factorColumns(gram, m, m, RANK_TOLERANCE)
			const b = Float64Array.from(changes, (c, i) => dot(c.f, f) / size[i]!)
			const weights = solveFactor(qr, applyTransposedQ(qr, b))
			changes.forEach(({ g }, k) => {
				const w = weights[k]! / size[k]!
				for (let i = 0; i < out.length; i++) out[i]! -= w * g[i]!
			})
			return out
		},
		reset() {
			changes = []
			last = undefined
		},
	}
}

function dot(a: Float64Array, b: Float64Array): number {
	let sum = 0
	for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!
	return sum
}
