/** Lengths of a drawing (CSS Values 4, 6.2): 96 px to the inch. */

const IN_PX: Readonly<Record<string, number>> = {
	px: 1,
	in: 96,
	cm: 96 / 2.54,
	mm: 96 / 25.4,
	q: 96 / 101.6,
	pt: 96 / 72,
	pc: 16,
}

const LENGTH = /^\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*([a-zA-Z]*|%)\s*$/

export interface Length {
	/** px; of a percentage the figure itself */
	readonly value: number
	/** whether it has a size of its own: with a unit, not a bare figure or a percentage */
	readonly of: 'unit' | 'figure' | 'percent'
}

/** Undefined where it is no length, or one that depends on a font. */
export function readLength(text: string): Length | undefined {
	const [, figure, unit] = LENGTH.exec(text) ?? []
	if (figure === undefined || unit === undefined) return undefined
	const value = Number(figure)
	if (!Number.isFinite(value)) return undefined
	if (unit === '') return { value, of: 'figure' }
	if (unit === '%') return { value, of: 'percent' }
	const px = IN_PX[unit.toLowerCase()]
	return px === undefined ? undefined : { value: value * px, of: 'unit' }
}

/** Figures with spaces or commas between them; undefined where anything else stands there. */
export function readFigures(text: string): number[] | undefined {
	const words = text.match(/[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?/g) ?? []
	const rest = text.replace(/[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?/g, '').replace(/[\s,]/g, '')
	return rest === '' ? words.map(Number) : undefined
}
