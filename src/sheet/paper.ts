/** The papers that prints are made for. */
import type { Outcome } from '../job/problem.ts'

/** A sheet in upright position, or a roll: a width with no height. */
export interface Paper {
	readonly id: string
	readonly name: string
	readonly widthMm: number
	readonly heightMm?: number
}

const INCH = 25.4
const sheet = (name: string, widthMm: number, heightMm: number): Paper => ({ id: name.toLowerCase(), name, widthMm, heightMm })
const roll = (widthMm: number): Paper => {
	const name = String(Math.round(widthMm * 100) / 100)
	return { id: `roll-${name}`, name: `Roll ${name} mm`, widthMm }
}

/** ISO 216 sizes; the inch sizes of ASME Y14.1 and the office (from memory); rolls as sold (from memory). */
export const PAPERS: readonly Paper[] = [
	sheet('A4', 210, 297),
	sheet('A3', 297, 420),
	sheet('A2', 420, 594),
	sheet('A1', 594, 841),
	sheet('A0', 841, 1189),
	sheet('Letter', 8.5 * INCH, 11 * INCH),
	sheet('Legal', 8.5 * INCH, 14 * INCH),
	sheet('Tabloid', 11 * INCH, 17 * INCH),
	sheet('C', 17 * INCH, 22 * INCH),
	sheet('D', 22 * INCH, 34 * INCH),
	...[610, 841, 914, 1067, 1118].map(roll),
]

/** Narrower than any roll sold; wider than any printer. */
const ROLL_WIDTHS = { leastMm: 200, mostMm: 3300 }

/** `roll-610`, `roll 610 mm`, `roll-24in`: any width. */
function readRoll(wanted: string): Paper | undefined {
	const parts = /^roll[ -]*(\d+(?:\.\d+)?)\s*(mm|in)?$/.exec(wanted)
	if (!parts) return undefined
	const widthMm = Number(parts[1]) * (parts[2] === 'in' ? INCH : 1)
	return widthMm >= ROLL_WIDTHS.leastMm && widthMm <= ROLL_WIDTHS.mostMm ? roll(widthMm) : undefined
}

/** Single-sign changes from one word to another. Levenshtein 1966; Wagner and Fischer 1974. */
function distance(a: string, b: string): number {
	let row = Array.from({ length: b.length + 1 }, (_, i) => i)
	for (let i = 1; i <= a.length; i++) {
		const next = [i]
		for (let j = 1; j <= b.length; j++) {
			const change = (row[j - 1] as number) + (a[i - 1] === b[j - 1] ? 0 : 1)
			next.push(Math.min(change, (row[j] as number) + 1, (next[j - 1] as number) + 1))
		}
		row = next
	}
	return row[b.length] as number
}

/** A paper from the shop file: no height for a roll. */
export interface OwnPaper {
	readonly id: string
	readonly width: number
	readonly height?: number
}

const fromShop = ({ id, width, height }: OwnPaper): Paper => {
	if (height === undefined) return { id, name: id, widthMm: width }
	return { id, name: id, widthMm: Math.min(width, height), heightMm: Math.max(width, height) }
}

/**
 * The paper of that name, capitals or not: the shop's own first, then the common ones, then a roll of any width (`roll-610`).
 * An unknown one is the problem UNKNOWN_PAPER, which names the nearest.
 */
export function findPaper(wanted: string, own: readonly OwnPaper[] = [], path = '/paper'): Outcome<Paper> {
	const key = wanted.trim().toLowerCase()
	const known = [...own.map(fromShop), ...PAPERS]
	const found = known.find(({ id, name }) => id.toLowerCase() === key || name.toLowerCase() === key) ?? readRoll(key)
	if (found) return { value: found, problems: [] }
	const nearest = known.reduce((best, paper) =>
		distance(paper.id.toLowerCase(), key) < distance(best.id.toLowerCase(), key) ? paper : best,
	)
	return {
		problems: [
			{
				code: 'UNKNOWN_PAPER',
				severity: 'error',
				path,
				found: `the paper ${JSON.stringify(wanted)}`,
				expected: `one of ${known.map(({ id }) => id).join(', ')}, or a roll by its width such as roll-610`,
				fix: `Write ${JSON.stringify(nearest.id)} if that is meant, or add the paper to the shop file with its width and height.`,
			},
		],
	}
}
