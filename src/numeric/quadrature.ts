/** Nodes on (-1, 1) and weights of Gauss-Legendre quadrature. */
export interface GaussRule {
	readonly nodes: Float64Array
	readonly weights: Float64Array
}

/**
 * The rule with n nodes, exact for polynomials of degree 2n - 1: Newton on the Legendre polynomial from the
 * cosine estimate (Abramowitz & Stegun 25.4.29 for the weights). To rounding for n up to 20 or so.
 */
export function gaussRule(n: number): GaussRule {
	const nodes = new Float64Array(n)
	const weights = new Float64Array(n)
	for (let i = 0; i < n; i++) {
		let x = -Math.cos((Math.PI * (i + 0.75)) / (n + 0.5))
		let slope = 1
		// quadratic from a start good to 1e-2: six steps are two too many
		for (let step = 0; step < 6; step++) {
			let before = 1
			let p = x
			for (let k = 2; k <= n; k++) {
				const next = ((2 * k - 1) * x * p - (k - 1) * before) / k
				before = p
				p = next
			}
			slope = (n * (x * p - before)) / (x * x - 1)
			x -= p / slope
		}
		nodes[i] = x
		weights[i] = 2 / ((1 - x * x) * slope * slope)
	}
	return { nodes, weights }
}

export const GAUSS_5 = gaussRule(5)
export const GAUSS_10 = gaussRule(10)

/** Integral of f from a to b by `rule` on `panels` equal pieces. */
export function gaussLegendre(f: (x: number) => number, a: number, b: number, rule: GaussRule = GAUSS_5, panels = 1): number {
	const half = (b - a) / (2 * panels)
	let sum = 0
	for (let panel = 0; panel < panels; panel++) {
		const middle = a + (2 * panel + 1) * half
		for (let i = 0; i < rule.nodes.length; i++) sum += rule.weights[i]! * f(middle + half * rule.nodes[i]!)
	}
	return sum * half
}

export interface QuadratureResult {
	readonly value: number
	/** estimate: what halving changed in the panels that were kept */
	readonly error: number
	readonly evaluations: number
	/** false when the panels ran out, or f is not finite */
	readonly reached: boolean
}

const DEFAULT_MAX_PANELS = 200

/**
 * Integral of f from a to b to `tolerance` (in its own units): ten Gauss nodes on a panel against ten on each half;
 * the panel with the largest change is halved next, until the changes add up to less than the tolerance.
 */
export function adaptiveQuadrature(
	f: (x: number) => number,
	a: number,
	b: number,
	options: { readonly tolerance: number; readonly maxPanels?: number },
): QuadratureResult {
	const maxPanels = options.maxPanels ?? DEFAULT_MAX_PANELS
	const panel = (from: number, to: number, whole: number) => {
		const middle = (from + to) / 2
		const left = gaussLegendre(f, from, middle, GAUSS_10)
		const right = gaussLegendre(f, middle, to, GAUSS_10)
		return { from, middle, to, left, right, error: Math.abs(left + right - whole) }
	}
	const panels = [panel(a, b, gaussLegendre(f, a, b, GAUSS_10))]
	let evaluations = 30
	for (;;) {
		let error = 0
		let value = 0
		let worst = 0
		for (let i = 0; i < panels.length; i++) {
			const p = panels[i]!
			error += p.error
			value += p.left + p.right
			if (p.error > panels[worst]!.error) worst = i
		}
		// below the rounding of the sum itself halving gains nothing
		const reached = error <= Math.max(options.tolerance, 4 * Number.EPSILON * Math.abs(value))
		if (reached || panels.length >= maxPanels || !Number.isFinite(error)) return { value, error, evaluations, reached }
		const { from, middle, to, left, right } = panels[worst]!
		panels.splice(worst, 1, panel(from, middle, left), panel(middle, to, right))
		evaluations += 40
	}
}
