/** The place of least f between a and b to `width`, one valley assumed (Kiefer 1953). */
export function goldenSection(f: (x: number) => number, a: number, b: number, width: number): number {
	const ratio = (Math.sqrt(5) - 1) / 2
	let low = a
	let high = b
	let x1 = high - ratio * (high - low)
	let x2 = low + ratio * (high - low)
	let f1 = f(x1)
	let f2 = f(x2)
	const steps = Math.max(1, Math.ceil(Math.log(width / (b - a)) / Math.log(ratio)))
	for (let i = 0; i < steps; i++) {
		if (f1 < f2) {
			high = x2
			x2 = x1
			f2 = f1
			x1 = high - ratio * (high - low)
			f1 = f(x1)
		} else {
			low = x1
			x1 = x2
			f1 = f2
			x2 = low + ratio * (high - low)
			f2 = f(x2)
		}
	}
	return (low + high) / 2
}
