/** Largest distance of corresponding points once one line is laid on the other as well as it goes (Procrustes, closed form). */
export function apart(p: readonly [number, number][], q: readonly [number, number][]): number {
	const mean = (list: typeof p, c: 0 | 1) => list.reduce((sum, a) => sum + a[c], 0) / list.length
	const [px, py, qx, qy] = [mean(p, 0), mean(p, 1), mean(q, 0), mean(q, 1)]
	let [cos, sin] = [0, 0]
	p.forEach(([x, y], i) => {
		const [u, v] = q[i] as [number, number]
		cos += (x - px) * (u - qx) + (y - py) * (v - qy)
		sin += (x - px) * (v - qy) - (y - py) * (u - qx)
	})
	const [c, s] = [cos / Math.hypot(cos, sin), sin / Math.hypot(cos, sin)]
	return Math.max(
		...p.map(([x, y], i) => {
			const [u, v] = q[i] as [number, number]
			return Math.hypot(c * (x - px) - s * (y - py) + qx - u, s * (x - px) + c * (y - py) + qy - v)
		}),
	)
}
