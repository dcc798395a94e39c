/** Halvings of a range of parameters: 2^-44 of it. */
const HALVINGS = 44

/** The parameter between a and b where `like a` stops holding. */
export function halve(a: number, b: number, likeA: (t: number) => boolean): number {
	let low = a
	let high = b
	for (let i = 0; i < HALVINGS; i++) {
		const m = (low + high) / 2
		if (likeA(m)) low = m
		else high = m
	}
	return (low + high) / 2
}
