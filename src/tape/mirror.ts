/** On a panel that is its own mirror image, what is laid on the other side of the baseline. */
import { areMirrored, mirrored, mirroredPoint, reversed } from '../chart/curve.ts'
import type { ChartRegion } from '../chart/point.ts'
import { toPlane } from '../chart/region.ts'
import { areaOf, xor } from '../plane/region.ts'
import type { Seen, Stage, StageEdge } from '../stages/parts.ts'
import type { Laid, LaidKnife, LaidRun } from './run.ts'

/** Whether a stage is the same on both sides: every part of one side has its like on the other, in its place and with the same standing. */
export function isMirrored(seen: Seen, { standing }: Stage): boolean {
	const likes = likesOf(seen)
	return likes?.every((like, i) => standing[like] === standing[i]) ?? false
}

const known = new WeakMap<Seen, readonly number[] | undefined>()

/** Of each part the one that is its mirror image; undefined where any has none. Every stage of a panel asks. */
function likesOf(seen: Seen): readonly number[] | undefined {
	if (!known.has(seen)) known.set(seen, likesAnew(seen))
	return known.get(seen)
}

function likesAnew({ chart, parts }: Seen): readonly number[] | undefined {
	if (!chart.symmetric) return undefined
	const likes = parts.map((part, i) => (part.side === 'both' ? i : parts.findIndex(({ id }) => id === otherSide(part.id))))
	const alike = parts.every((part, i) => {
		const k = likes[i] as number
		const like = parts[k]
		// Of two that are each other's likes one look is enough.
		return like && (k < i || areaOf(xor(toPlane(part.region), toPlane(flipped(like.region)))) < SAME_MM2)
	})
	return alike ? likes : undefined
}

/** What a part or a line is called on the other side. */
export const otherSide = (name: string): string =>
	name.replace(/\/(left|right)(?=[/#]|$)/, (_, side: string) => (side === 'left' ? '/right' : '/left'))

/** Regions that differ by less are the same, mm^2: outlines have points of their own. */
const SAME_MM2 = 2

/**
 * The edge on the other side that an edge is the mirror image of, to the last digit. Undefined where there
 * is none among `before`.
 */
export function mirrorOf(before: readonly StageEdge[], edge: StageEdge): StageEdge | undefined {
	// A mirror image runs the other way round what it covers.
	const back = reversed(edge.curve)
	return before.find(
		(other) =>
			other !== edge && other.kind === edge.kind && other.offMm === edge.offMm && areMirrored(turned(other.curve, back), back),
	)
}

/** A closed line begun where another begins. */
function turned(curve: StageEdge['curve'], like: StageEdge['curve']): StageEdge['curve'] {
	if (!curve.closed || !like.closed) return curve
	const start = like.cubics[0]?.[0]
	const k = curve.cubics.findIndex(([p]) => start !== undefined && p.s === start.s && p.g === -start.g)
	return k > 0 ? { ...curve, cubics: [...curve.cubics.slice(k), ...curve.cubics.slice(0, k)] } : curve
}

/** What was laid along an edge, laid along its mirror image. */
export function mirroredLaid(laid: Laid, edge: StageEdge): Laid {
	const names = { follows: edge.lines, covers: edge.coveredParts }
	return {
		runs: laid.runs.map(
			(run): LaidRun => ({
				...run,
				...names,
				line: reversed(mirrored(run.line)),
				front: { ...run.rear, at: mirroredPoint(run.rear.at) },
				rear: { ...run.front, at: mirroredPoint(run.front.at) },
				strainAt: mirroredPoint(run.strainAt),
				outline: flipped(run.outline),
			}),
		),
		knives: laid.knives.map(
			(knife): LaidKnife => ({
				...{ ...knife, ...names, at: mirroredPoint(knife.at), outline: flipped(knife.outline) },
				line: reversed(mirrored(knife.line)),
			}),
		),
	}
}

const flipped = (region: ChartRegion): ChartRegion => region.map((loop) => loop.map(mirroredPoint).reverse())
