/** Lettering as it is set: a line of text on a straight line or on part of a circle. */
import type { LetteringShape } from '../../job/artworkSchema.ts'
import type { Outcome, Problem } from '../../job/problem.ts'
import { listed, mm } from '../../job/say.ts'
import { flatten } from '../../plane/flatten.ts'
import type { PlanePoint, Region } from '../../plane/point.ts'
import { boxOf } from '../../plane/polyline.ts'
import { normalise, union } from '../../plane/region.ts'
import type { Drawn } from '../drawn.ts'
import type { LetterFont } from './font.ts'
import { checkRegister, type MeasuredLetter } from './register.ts'

/**
 * The letters at their height, kerned and spaced. Errors: LETTER_MISSING, LETTERING_EMPTY, ARC_TOO_TIGHT; warnings of
 * `checkRegister`. The error is that of the chords.
 */
export function setLettering(shape: LetteringShape, font: LetterFont, toleranceMm: number, path: string): Outcome<Drawn> {
	const { height, spacing } = shape
	const line = font.line(shape.text, spacing === 0 && !shape.register)
	if (line.missing.length > 0) return { problems: [missing(line.missing, shape, path)] }

	let x = 0
	const letters = line.letters.map(({ outline, from }, i) => {
		x += from * height + (i > 0 ? spacing : 0)
		const loops = outline.map((loop) => {
			const large = loop.map((c) => c.map((p) => ({ x: x + height * p.x, y: height * p.y })) as unknown as typeof c)
			return flatten(large, toleranceMm)
		})
		return normalise(loops)
	})
	const box = boxOf(letters.flat(2))
	if (!box) return { problems: [empty(shape, path)] }
	const problems: Problem[] = []
	if (shape.register) {
		const measured = letters.map((region, i): MeasuredLetter => ({ sign: [...shape.text][i] ?? '', region }))
		problems.push(...checkRegister(measured, height, `${path}/register`))
	}
	if (!shape.arc) return { value: drawn(letters, shape.colour, toleranceMm), problems }

	const { radius, inside } = shape.arc
	const length = box.maxX - box.minX
	// inside, the letters' heads come together: their tops must stay clear of the middle
	const least = Math.max(length / (2 * Math.PI), inside ? box.maxY : Math.max(0, -box.minY))
	if (!(radius > least)) return { problems: [...problems, tight(radius, least, path)] }
	const middle = (box.minX + box.maxX) / 2
	const bent = letters.map((region) => {
		const own = boxOf(region.flat())
		return own ? standing(region, (own.minX + own.maxX) / 2, middle, radius, inside) : []
	})
	return { value: drawn(bent, shape.colour, toleranceMm), problems }
}

const drawn = (letters: readonly Region[], colour: string, maxErrorMm: number): Drawn => ({
	inks: [{ region: union(letters), colour }],
	maxErrorMm,
})

/** A letter turned about its own middle to stand square on the circle, which passes through 0,0 at the middle of the text. */
function standing(region: Region, own: number, middle: number, radius: number, inside: boolean): Region {
	const angle = ((own - middle) / radius) * (inside ? 1 : -1)
	const [cos, sin] = [Math.cos(angle), Math.sin(angle)]
	// outside: the middle of the circle below, letters turned clockwise to the right; inside: above, anticlockwise
	const centre = inside ? radius : -radius
	const turned = ({ x, y }: PlanePoint): PlanePoint => {
		const [dx, dy] = [x - own, y - centre]
		return { x: cos * dx - sin * dy, y: centre + sin * dx + cos * dy }
	}
	return region.map((loop) => loop.map(turned))
}

const missing = (signs: readonly string[], { font }: LetteringShape, path: string): Problem => ({
	...{ code: 'LETTER_MISSING', severity: 'error', path: `${path}/text` },
	found: `${listed(
		signs.map((sign) => JSON.stringify(sign)),
		'and',
	)}, which the font ${font} does not have`,
	...{ expected: 'letters, figures and signs of the font', fix: 'Write it otherwise, or take another font.' },
})

const empty = ({ text }: LetteringShape, path: string): Problem => ({
	...{
		code: 'LETTERING_EMPTY',
		severity: 'error',
		path: `${path}/text`,
		found: `${JSON.stringify(text)}, in which nothing is printed`,
	},
	...{ expected: 'letters', fix: 'Write what it says.' },
})

const tight = (radius: number, least: number, path: string): Problem => ({
	...{ code: 'ARC_TOO_TIGHT', severity: 'error', path: `${path}/arc/radius`, found: `a radius of ${mm(radius)}` },
	...{
		expected: `more than ${mm(least)}, so that the letters do not meet`,
		fix: 'Make the radius larger, or the letters smaller.',
	},
})
