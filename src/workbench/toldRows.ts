/** Rows of blanks for what was measured at a line and a station, and the entries of the job file that fill them. */
import { readLength, type Unit } from '../units/length.ts'

/** What a row is known by: as strips and sheets print it. */
export interface ToldRow {
	readonly line: string
	/** where the line is on both sides: which */
	readonly side?: 'left' | 'right'
	readonly stationMm: number
}

type Entry = Readonly<Record<string, unknown>>

/** Stations nearer than this are one, mm: printed to 1/32 in, one may be off by 0.4. */
const SAME_MM = 0.45

/** The place in a list of entries of the one that fills a row; -1 where none does. Capitals count for nothing, as when it is read. */
export const entryFor = (entries: readonly Entry[], { line, side, stationMm }: ToldRow, unit: Unit): number =>
	entries.findIndex(
		(entry) =>
			String(entry.line).trim().toLowerCase() === line.toLowerCase() &&
			(entry.side ?? side) === side &&
			Math.abs(lengthIn(entry.station, unit) - stationMm) <= SAME_MM,
	)

/** mm; NaN where it is none. */
export function lengthIn(value: unknown, unit: Unit): number {
	const read = typeof value === 'number' || typeof value === 'string' ? readLength(value, unit) : undefined
	return read?.ok ? read.mm : Number.NaN
}

/** A printed figure as it is written into the file: a plain one as a number. */
export const writtenFigure = (figure: string): string | number => (/^-?\d+(\.\d+)?$/.test(figure) ? Number(figure) : figure)

/** Rows of one line, front to rear, left and right of one station beside each other. */
export interface LineOfRows<Row extends ToldRow> {
	readonly line: string
	readonly name: string
	readonly stations: readonly { readonly station: string; readonly left?: Row; readonly right?: Row; readonly only?: Row }[]
}

/** Rows as a sheet has them: by line, then by station. */
export function byLine<Row extends ToldRow & { readonly name: string; readonly station: string }>(
	rows: readonly Row[],
): readonly LineOfRows<Row>[] {
	return [...new Set(rows.map(({ line }) => line))].map((line) => {
		const own = rows.filter((row) => row.line === line).toSorted((a, b) => a.stationMm - b.stationMm)
		const stations: { station: string; stationMm: number; left?: Row; right?: Row; only?: Row }[] = []
		for (const row of own) {
			let there = stations.find(({ stationMm }) => Math.abs(stationMm - row.stationMm) <= SAME_MM)
			if (!there) {
				there = { station: row.station, stationMm: row.stationMm }
				stations.push(there)
			}
			there[row.side ?? 'only'] = row
		}
		return { line, name: own[0]?.name ?? line, stations }
	})
}
