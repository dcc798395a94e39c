import { constantWidth, type Width } from '../chart/width.ts'

/** A width as the job gives it: one number, or a taper by length along the line. */
export type GivenWidth = number | readonly { readonly along: number; readonly width: number }[]

/** Places along the line where the taper breaks. */
export const breaksOf = (width: GivenWidth): number[] => (typeof width === 'number' ? [] : width.map((w) => w.along))

/** Straight between the given places, constant beyond them. */
export function widthOf(given: GivenWidth): Width {
	if (typeof given === 'number') return constantWidth(given)
	const list = [...given].sort((a, b) => a.along - b.along)
	const piece = (l: number) => {
		let i = 0
		while (i < list.length && (list[i] as { along: number }).along <= l) i++
		return i
	}
	return {
		at(l) {
			const i = piece(l)
			const a = list[i - 1]
			const b = list[i]
			if (!a) return (list[0] as { width: number }).width
			if (!b) return a.width
			return a.width + ((b.width - a.width) * (l - a.along)) / (b.along - a.along)
		},
		rate(l) {
			const i = piece(l)
			const a = list[i - 1]
			const b = list[i]
			return a && b ? (b.width - a.width) / (b.along - a.along) : 0
		},
	}
}

export const sum = (a: Width, b: Width): Width => ({ at: (l) => a.at(l) + b.at(l), rate: (l) => a.rate(l) + b.rate(l) })
export const scaled = (a: Width, f: number): Width => ({ at: (l) => a.at(l) * f, rate: (l) => a.rate(l) * f })

/** Between two widths: a + (b - a) f(l). */
export const blend = (a: Width, b: Width, f: Width): Width => ({
	at: (l) => a.at(l) + (b.at(l) - a.at(l)) * f.at(l),
	rate: (l) => a.rate(l) + (b.rate(l) - a.rate(l)) * f.at(l) + (b.at(l) - a.at(l)) * f.rate(l),
})
