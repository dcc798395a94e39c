import type { Job } from '../job/schema.ts'
import { maskPieces } from '../template/maskPieces.ts'
import type { Piece } from '../template/piece.ts'
import { withTape } from '../template/tapeMarks.ts'
import { type Cache, keptWhile } from './cache.ts'
import type { PanelPaintwork } from './paintwork.ts'
import { TOLERANCE_MM } from './panel.ts'
import type { PanelResult } from './panelResult.ts'

/** A panel's pieces with the runs of tape that are laid by them, for as long as neither changes. */
export function tapedPieces(panel: PanelResult, works: readonly PanelPaintwork[], cache?: Cache): readonly Piece[] {
	const pieces = panel.pieces ?? []
	const own = works.filter(({ id }) => id === panel.id)
	return keptWhile(cache, `taped/${panel.id}`, [pieces, ...own.map(({ tape }) => tape)], '', () =>
		own.reduce((all, { hand, seen, tape }) => {
			const runs = tape.flatMap((stage) => stage.runs.filter(({ laid }) => laid === stage.stage))
			// Of a pair each side has its own pieces and its own runs.
			const mine = (piece: Piece) => hand === 'centre' || piece.side === hand.toUpperCase()
			const marked = new Map(withTape(seen.chart, all.filter(mine), runs).map((piece) => [piece.id, piece]))
			return all.map((piece) => (mine(piece) ? (marked.get(piece.id) ?? piece) : piece))
		}, pieces),
	)
}

/** The knife masks of a panel, numbered on from its other pieces. */
export function masksOf(panel: PanelResult, job: Job, works: readonly PanelPaintwork[]): readonly Piece[] {
	const last = [...(panel.pieces ?? []), ...(panel.art ?? [])].reduce((most, { number }) => Math.max(most, number), 0)
	const pieces: Piece[] = []
	for (const { seen, tape } of works.filter(({ id }) => id === panel.id)) {
		const masks = tape.flatMap((stage) => stage.knives.filter(({ laid }) => laid === stage.stage))
		const datums = panel.panel.datums.flatMap(({ id, panel: which }) => {
			const at = panel.lines?.places.get(id) ?? panel.lines?.places.get(`${seen.hand}/${id}`)
			return at && (which === undefined || which === seen.hand) ? [{ id, at }] : []
		})
		pieces.push(
			...maskPieces({
				...{ chart: seen.chart, panel: panel.panel, hand: seen.hand, masks, datums, stations: panel.stations ?? [] },
				firstNumber: last + 1 + pieces.length,
				unit: job.unit,
				toleranceMm: TOLERANCE_MM,
				...(panel.code === undefined ? {} : { revision: panel.code }),
			}),
		)
	}
	return pieces
}
