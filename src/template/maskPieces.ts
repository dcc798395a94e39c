/** Knife masks at full size: film to cut on the bench, where no tape follows a painted line. */
import type { Chart } from '../chart/chart.ts'
import { nearestOn } from '../chart/nearest.ts'
import type { ChartPoint } from '../chart/point.ts'
import type { Panel } from '../job/schema.ts'
import type { KnifeMask } from '../tape/run.ts'
import { developLine } from './developLine.ts'
import { flatPiece } from './flatPiece.ts'
import type { Piece, PieceSide } from './piece.ts'

export interface MaskPiecesInput {
	readonly chart: Chart
	readonly panel: Panel
	readonly hand: 'centre' | 'left' | 'right'
	readonly masks: readonly KnifeMask[]
	readonly datums: readonly { readonly id: string; readonly at: ChartPoint }[]
	readonly stations: readonly number[]
	readonly firstNumber: number
	readonly unit: 'mm' | 'in'
	readonly toleranceMm: number
	readonly revision?: string
}

const WHY: Readonly<Record<KnifeMask['why'], string>> = {
	bends: 'the line bends tighter than any tape follows',
	narrow: 'what it covers is narrower than any tape',
	tapers: 'what it covers runs out to a point',
}

/** One piece for each mask, in their order, by the number that the tape schedule gives it. */
export function maskPieces(input: MaskPiecesInput): readonly Piece[] {
	const { chart, panel, hand, masks, datums, stations, unit, toleranceMm, revision } = input
	return masks.map((mask, i) => {
		const side: PieceSide = hand === 'centre' ? sideOf(mask) : hand === 'left' ? 'LEFT' : 'RIGHT'
		const common = {
			chart,
			id: `${mask.id}/piece`,
			number: input.firstNumber + i,
			panel: panel.id,
			panelTitle: panel.title ?? panel.id,
			side,
			title: `Knife mask ${mask.number}`,
			region: mask.outline,
			working: [mask.line],
			stations,
			datums: datums.map(({ id, at }) => ({ id, s: at.s, g: at.g })),
			unit,
			toleranceMm,
			notes: [
				`Of low-tack film: ${WHY[mask.why]}. Cut it on the bench, never on the panel; blade away from the hand.`,
				'Its working edge lies on the painted line; the tape that goes on from it laps it.',
			],
			...(revision === undefined ? {} : { revision }),
		}
		return flatPiece({ ...common, kind: 'mask', ...(chart.developable ? {} : { laid: alongLine(chart, mask, toleranceMm) }) })
	})
}

/** A mask is narrow: it is laid flat along the line that it makes, each place as far along it and off it as on the panel. */
function alongLine(chart: Chart, { line, outline }: KnifeMask, toleranceMm: number) {
	const laid = developLine(chart, line, toleranceMm)
	const foot = nearestOn(chart, line)
	const on = (p: ChartPoint) => {
		const met = foot(p)
		return met ? { l: laid.measure.lengthAt(met.u), off: met.offsetMm } : { l: 0, off: 0 }
	}
	const widest = outline.flat().reduce((most, p) => Math.max(most, on(p).off), 0)
	return {
		flat: (p: ChartPoint) => {
			const { l, off } = on(p)
			return laid.at(l, off)
		},
		errorMm: laid.errorMm + Math.abs(laid.misfit(widest, 0, laid.length)),
		note: 'It is laid flat along the painted line, and true there.',
	}
}

function sideOf({ outline }: KnifeMask): PieceSide {
	const g = outline.flat().map((p) => p.g)
	const [low, high] = [g.reduce((a, b) => Math.min(a, b)), g.reduce((a, b) => Math.max(a, b))]
	return low >= 0 ? 'RIGHT' : high <= 0 ? 'LEFT' : 'BOTH'
}
