/** What is said about the pieces on one sheet: once for all that it holds for. */

import type { Piece, PieceKind } from '../template/piece.ts'
import { lengthsIn } from '../units/format.ts'
import type { Unit } from '../units/length.ts'

/** What a kind of piece is called in the title block, and the paper it wants. */
export const KINDS: Readonly<Record<PieceKind, { readonly name: string; readonly many: string; readonly paper: string }>> = {
	strip: { name: 'girth strip', many: 'Girth strips', paper: 'Plain paper will do; keep it flat and dry.' },
	guide: { name: 'edge guide', many: 'Edge guides', paper: 'Card or adhesive sheet recommended.' },
	crown: { name: 'over-crown piece', many: 'Over-crown pieces', paper: 'Card or heavy paper recommended.' },
	stripe: { name: 'stripe', many: 'Stripes', paper: 'Adhesive sheet recommended.' },
	area: { name: 'field', many: 'Fields', paper: 'Plain paper or adhesive sheet.' },
	mask: { name: 'knife mask', many: 'Knife masks', paper: 'Low-tack masking film below the print, or adhesive sheet.' },
	frame: { name: 'placing frame', many: 'Placing frames', paper: 'Card or heavy paper recommended.' },
	decal: { name: 'decal', many: 'Decals', paper: 'The film that the decal is made of.' },
}

/** From this length on paper's growth is more than a knife's line (common practice, no source). */
export const GROWS_FROM_MM = 400
/** Growth of paper in parts of its length for 1 % of relative humidity, least and most (from memory). */
const GROWTH = { along: [0.003e-2, 0.006e-2], across: [0.01e-2, 0.02e-2] } as const
/** From a dry winter day to a damp one in the same workshop, % of relative humidity (common practice, no source). */
const HUMIDITY_STEP = 20

/** How much a length of paper grows over 20 % of humidity, mm: least and most. */
export const growthMm = (lengthMm: number, way: keyof typeof GROWTH): readonly [number, number] => [
	lengthMm * GROWTH[way][0] * HUMIDITY_STEP,
	lengthMm * GROWTH[way][1] * HUMIDITY_STEP,
]

function growthNote({ bounds }: Piece): string | undefined {
	const long = Math.max(bounds.maxX - bounds.minX, bounds.maxY - bounds.minY)
	if (long < GROWS_FROM_MM) return undefined
	const range = (way: keyof typeof GROWTH) => {
		const [low, high] = growthMm(long, way)
		return `${low.toFixed(1)} to ${high.toFixed(1)} mm`
	}
	return `Paper grows with damp: these ${Math.round(long)} mm by ${range('along')} along the grain and ${range('across')} across it, for ${HUMIDITY_STEP} % more humidity. Take paper with its grain along the piece; print, measure and lay it on one day.`
}

const wordsOf = (piece: Piece): readonly string[] => {
	const sd =
		piece.lineSdMm === undefined ? '' : ` The line itself is known to ±${piece.lineSdMm.toFixed(2)} mm (two times in three).`
	const growth = growthNote(piece)
	return [`Shape true to ${Math.max(0.01, piece.errorMm).toFixed(2)} mm.${sd}`, ...piece.notes, ...(growth ? [growth] : [])]
}

/** A fraction with its whole number is one figure. */
const FIGURE = /\d+ \d+\/\d+|\d+\/\d+|\d+(?:\.\d+)?/g

interface Said {
	readonly text: string
	/** without its figures */
	readonly words: string
}

/** What pieces say, by unit: a piece is asked whenever it may share a sheet. */
const said = new WeakMap<Piece, Map<Unit, readonly Said[]>>()

function saidBy(piece: Piece, unit: Unit): readonly Said[] {
	const found = said.get(piece)?.get(unit)
	if (found) return found
	// Each in the person's unit before figures are set side by side.
	const made = wordsOf(piece).map((words): Said => {
		const text = lengthsIn(words, unit)
		return { text, words: text.replace(FIGURE, '#') }
	})
	said.set(piece, new Map([...(said.get(piece) ?? []), [unit, made]]))
	return made
}

/** So many figures side by side are still read each for its piece; more are said from least to most. */
const MOST_BESIDE = 3
/** What is said of how good pieces are may be said of all together; a length to measure belongs to its own piece. */
const RANGED = /^(Shape true|Exact along)/

/**
 * The same words with other figures become one sentence; where the figures differ they stand side by side in the order of the
 * pieces, or, of how good many pieces are, from the least to the most.
 */
function joined(texts: readonly string[]): string {
	const figures = texts.map((text) => text.match(FIGURE) ?? [])
	let index = -1
	return (texts[0] ?? '').replace(FIGURE, () => {
		index++
		const all = figures.map((list) => list[index] as string)
		if (all.every((one) => one === all[0])) return all[0] as string
		if (all.length <= MOST_BESIDE || !RANGED.test(texts[0] ?? ''))
			return all.join(all.some((one) => one.includes('/')) ? ', ' : '/')
		const sorted = [...all].sort((a, b) => Number(a) - Number(b))
		return `${sorted[0]} to ${sorted[sorted.length - 1]}`
	})
}

/** Pieces' numbers, runs of three and more shortened: 105-108, 111. */
export function numberList(numbers: readonly number[]): string {
	const sorted = [...numbers].sort((a, b) => a - b)
	const runs: [number, number][] = []
	for (const n of sorted) {
		const last = runs.at(-1)
		if (last && n === last[1] + 1) last[1] = n
		else runs.push([n, n])
	}
	return runs.map(([a, b]) => (a === b ? `${a}` : b === a + 1 ? `${a}, ${b}` : `${a}-${b}`)).join(', ')
}

/**
 * The sentences for a sheet's pieces. What all pieces of a kind say alike is said once for the kind; what some say is led by their numbers;
 * the same words with other figures are said once with the figures side by side.
 */
export function notesOf(pieces: readonly Piece[], unit: Unit = 'mm'): readonly string[] {
	const kinds = [...new Set(pieces.map(({ kind }) => kind))]
	return kinds.flatMap((kind) => {
		const own = pieces.filter((piece) => piece.kind === kind).sort((a, b) => a.number - b.number)
		const groups = new Map<string, { piece: Piece; text: string }[]>()
		for (const piece of own) {
			for (const { text, words } of saidBy(piece, unit)) {
				const group = groups.get(words)
				if (group) group.push({ piece, text })
				else groups.set(words, [{ piece, text }])
			}
		}
		const sentences = [...groups.values()].map((group) => {
			const same = group.every(({ text }) => text === group[0]?.text)
			const text = joined(group.map((one) => one.text))
			if (same && group.length === own.length) return text
			const numbers = group.map(({ piece }) => piece.number)
			const list = same || (numbers.length > MOST_BESIDE && RANGED.test(text))
			return `${list ? numberList(numbers) : numbers.join('/')}: ${text}`
		})
		const [first, ...rest] = [KINDS[kind].paper, ...sentences]
		return [kinds.length > 1 ? `${KINDS[kind].many}: ${first}` : (first as string), ...rest]
	})
}
