import type { SpacePoint } from '../chart/point.ts'
import { evaluatePiece } from '../numeric/splinePieces.ts'
import { alongBlend } from './alongBlend.ts'
import type { Loft, LoftSection } from './loft.ts'
import type { SectionCurve, SectionPiece } from './sectionCurve.ts'

export interface OddReading {
	readonly section: number
	readonly reading: number
	/** by how much it stands above (outside of) what its neighbours say, mm */
	readonly mm: number
}

/** A reading and what the sections beside it say of it differ by so many of its own uncertainties, where both are of one smooth panel. */
const PREDICTION = 1.25
/** So many uncertainties off its own section, at the least. */
const FAR_ACROSS = 3
/** And so many off the sections beside it, which have to agree that it is no feature of the panel. */
const FAR_ALONG = 2.5
/** And so many off both together: what the one says faintly the other has to say loudly (of 150 good readings, one in a hundred panels). */
const FAR = Math.hypot(4, 2.5)

/**
 * Readings that stick out both along their own section (delete-one prediction; Craven & Wahba, Numer. Math. 31, 1979) and from
 * the sections before and after: a sharp shoulder sticks out in the one way only, a misplaced section in the other.
 */
export function oddReadings(skin: Loft, sd: number): readonly OddReading[] {
	const across = skin.sections.map((section, i) => deleted(section, skin.curves[i] as SectionCurve, sd))
	const predicted = fromOthers(skin)
	// Where the panel bends more than the others know, all readings of a section differ: then so much is nothing odd.
	const scales = predicted.map((list) =>
		Math.max(sd * PREDICTION, 1.4826 * median(list.flatMap((x) => (x === undefined ? [] : [Math.abs(x)])))),
	)
	return across.flatMap((list, section) =>
		list.flatMap((own, reading) => {
			const other = predicted[section]?.[reading]
			if (!own || other === undefined) return []
			const [a, b] = [Math.abs(own.mm) / own.sd, Math.abs(other) / (scales[section] as number)]
			const far = a > FAR_ACROSS && b > FAR_ALONG && Math.hypot(a, b) > FAR && own.mm > 0 === other > 0
			return far ? [{ section, reading, mm: Math.abs(own.mm) < Math.abs(other) ? own.mm : other }] : []
		}),
	)
}

/** What decides its own place so much is predicted by nothing else. */
const ALONE = 1 - 1e-7

/**
 * For each reading, how far it stands above what the others of its section say: what is left of it, over the share that it
 * does not decide itself; known as well as the root of that share says, or better (equal to it where nothing is smoothed).
 */
function deleted(
	{ points }: LoftSection,
	{ pieces }: SectionCurve,
	own: number,
): readonly ({ mm: number; sd: number } | undefined)[] {
	const out: ({ mm: number; sd: number } | undefined)[] = points.map(() => undefined)
	for (const piece of pieces) {
		piece.t.forEach((t, k) => {
			const h = piece.leverage[k] as number
			if (h > ALONE) return
			const n = outward(piece, Math.min(k, piece.t.length - 2), t)
			const [a, d] = piece.residuals[k] as readonly [number, number]
			out[piece.first + k] = { mm: -(a * n[0] + d * n[1]) / (1 - h), sd: own / Math.sqrt(1 - h) }
		})
	}
	return out
}

/** Square to a section, away from the panel, in (across, down). */
function outward(piece: SectionPiece, k: number, t: number): readonly [number, number] {
	const [a, d] = [new Float64Array(2), new Float64Array(2)]
	evaluatePiece(piece.across, k, t, a)
	evaluatePiece(piece.down, k, t, d)
	const [x, y] = [a[1] as number, d[1] as number]
	const speed = Math.hypot(x, y)
	return [y / speed, -x / speed]
}

/** How far each reading stands above the skin through the other sections; undefined at the ends, which nothing lies beyond. */
function fromOthers(skin: Loft): readonly (readonly (number | undefined)[])[] {
	const us = skin.sections.map((s) => s.u)
	return skin.sections.map((section, i) => {
		if (us.length < 4 || i === 0 || i === us.length - 1) return section.points.map(() => undefined)
		const others = us.filter((_, k) => k !== i)
		const weights = alongBlend(others, undefined, skin.blend.stiffness).weights(us[i] as number)
		const curve = skin.curves[i] as SectionCurve
		const lines = skin.strips.map(({ at }) =>
			blended(
				at.filter((_, k) => k !== i),
				weights,
			),
		)
		return section.points.map(([x, d], reading) =>
			aboveLine(lines[curve.pieces.findIndex((p) => reading < p.first + p.t.length)] as Float64Array, section.place(x, d)),
		)
	})
}

/** A section made up of others: triples. */
function blended(others: readonly Float64Array[], weights: Float64Array): Float64Array {
	const line = new Float64Array((others[0] as Float64Array).length)
	others.forEach((other, m) => {
		const w = weights[m] as number
		for (let k = 0; k < line.length; k++) line[k] = (line[k] as number) + w * (other[k] as number)
	})
	return line
}

/** How far a place lies outside of a section (triples), by its nearest chord. */
function aboveLine(line: Float64Array, p: SpacePoint): number {
	let best = Number.POSITIVE_INFINITY
	let mm = 0
	for (let k = 3; k < line.length; k += 3) {
		const [ax, ay, az] = [line[k - 3] as number, line[k - 2] as number, line[k - 1] as number]
		const [ex, ey, ez] = [(line[k] as number) - ax, (line[k + 1] as number) - ay, (line[k + 2] as number) - az]
		const [fx, fy, fz] = [p.x - ax, p.y - ay, p.z - az]
		const share = Math.max(0, Math.min(1, (ex * fx + ey * fy + ez * fz) / (ex * ex + ey * ey + ez * ez)))
		const [gx, gy, gz] = [fx - share * ex, fy - share * ey, fz - share * ez]
		const square = gx * gx + gy * gy + gz * gz
		if (square >= best) continue
		best = square
		// Outward is to the left of the way across, seen from the front.
		mm = Math.sign(ey * gz - ez * gy) * Math.sqrt(square)
	}
	return mm
}

function median(list: readonly number[]): number {
	const sorted = [...list].sort((a, b) => a - b)
	return sorted[Math.floor(sorted.length / 2)] ?? 0
}
