/**
 * Proportions of registration marks by 14 CFR 45.29 (c) to (e): letters two thirds as wide as high, "1" one sixth, M and W up to
 * as wide as high; lines one sixth of the height thick; gaps of at least a quarter of a letter's width.
 */
import type { Problem } from '../../job/problem.ts'
import { listedShort, mm } from '../../job/say.ts'
import type { Region } from '../../plane/point.ts'
import { boxOf } from '../../plane/polyline.ts'
import { intersect } from '../../plane/region.ts'

export interface MeasuredLetter {
	readonly sign: string
	readonly region: Region
}

const WIDTH = 2 / 3
const STROKE = 1 / 6
const GAP = WIDTH / 4
/** A width or thickness this part off is not the one that is asked for (common practice, no source). */
const OFF = 0.05

/** How wide a sign may be, in its height. */
export const widthsOf = (sign: string): { readonly least: number; readonly most: number } =>
	sign === '1' ? { least: STROKE, most: STROKE } : { least: WIDTH, most: /[MW]/.test(sign) ? 1 : WIDTH }

/** How long a mark of such letters and the least gaps is, mm. */
export function registerLength(text: string, heightMm: number): number {
	const signs = [...text]
	return heightMm * (signs.reduce((sum, sign) => sum + widthsOf(sign).least, 0) + GAP * Math.max(0, signs.length - 1))
}

/** A warning for each of width, thickness and gaps that is not as asked for. */
export function checkRegister(letters: readonly MeasuredLetter[], heightMm: number, path: string): Problem[] {
	const boxes = letters.map(({ region }) => boxOf(region.flat()))
	const wide: string[] = []
	const close: string[] = []
	for (const [i, { sign }] of letters.entries()) {
		const box = boxes[i]
		if (!box) continue
		const { least, most } = widthsOf(sign)
		const width = (box.maxX - box.minX) / heightMm
		if (width < least * (1 - OFF) || width > most * (1 + OFF)) {
			wide.push(`${sign} is ${mm(width * heightMm)} wide instead of ${mm(heightMm * (width < least ? least : most))}`)
		}
		const next = boxes[i + 1]
		// a gap less than asked for by rounding is none
		if (next && next.minX - box.maxX < heightMm * GAP - 0.01) {
			close.push(`${sign}${letters[i + 1]?.sign} (${mm(next.minX - box.maxX)})`)
		}
	}
	const thick = strokeOf(letters)
	const warn = (found: string, expected: string, fix: string): Problem => ({
		...{ code: 'REGISTER_PROPORTIONS', severity: 'warning', path, found, expected, fix },
	})
	const text = letters.map(({ sign }) => sign).join('')
	const length = `; by the rule ${text} is ${mm(registerLength(text, heightMm))} long`
	return [
		...(wide.length > 0
			? [
					warn(
						listedShort(wide, 'and', 6),
						`letters two thirds as wide as high (14 CFR 45.29)${length}`,
						'Take another font, or draw the letters.',
					),
				]
			: []),
		...(thick !== undefined && Math.abs(thick / (STROKE * heightMm) - 1) > OFF
			? [
					warn(
						`upright lines ${mm(thick)} thick`,
						`${mm(STROKE * heightMm)}, one sixth of the height (14 CFR 45.29)`,
						'Take another font, or draw the letters.',
					),
				]
			: []),
		...(close.length > 0
			? [
					warn(
						`gaps that are too small: ${listedShort(close, 'and', 6)}`,
						`at least ${mm(GAP * heightMm)}, a quarter of a letter's width (14 CFR 45.29)`,
						'Make `spacing` larger.',
					),
				]
			: []),
	]
}

/** How thick the upright of the first letter is that begins with one, mm, measured between a third and half of its height. */
function strokeOf(letters: readonly MeasuredLetter[]): number | undefined {
	const one = letters.find(({ sign }) => /[BDEFHKLMNPR]/.test(sign))
	const box = one && boxOf(one.region.flat())
	if (!one || !box) return undefined
	const level = (part: number) => box.minY + part * (box.maxY - box.minY)
	const [low, high] = [level(0.34), level(0.36)]
	const band = [
		{ x: box.minX - 1, y: low },
		{ x: box.maxX + 1, y: low },
		{ x: box.maxX + 1, y: high },
		{ x: box.minX - 1, y: high },
	]
	const cuts = intersect(one.region, [band]).flatMap((loop) => boxOf(loop) ?? [])
	const first = cuts.sort((a, b) => a.minX - b.minX)[0]
	return first && first.maxX - first.minX
}
