// Prints every figure that the benchmarks in scripts/bench/ measure: a table, or with --json one JSON array and nothing else.
import { readdirSync } from 'node:fs'
import type { Row } from './measure.ts'

const folder = new URL('./bench/', import.meta.url)

async function allRows(): Promise<Row[]> {
	const files = readdirSync(folder).filter((file) => /\.[jt]s$/.test(file))
	const rows: Row[] = []
	// One after the other: two at once would measure each other.
	for (const file of files.toSorted()) {
		const bench = (await import(new URL(file, folder).href)) as { rows(): Promise<Row[]> }
		rows.push(...(await bench.rows()))
	}
	return rows
}

function table(rows: readonly Row[]): string {
	const head = ['', 'figure', 'value', 'unit', 'target', 'against']
	const lines = rows.map((row) => [mark(row), row.name, figure(row.value), row.unit, target(row), row.against ?? ''])
	const cells = [head, ...lines]
	const widths = head.map((_, column) => Math.max(...cells.map((line) => line[column]?.length ?? 0)))
	const rightAligned = new Set([2, 4])
	const pad = (cell: string, column: number) =>
		rightAligned.has(column) ? cell.padStart(widths[column] ?? 0) : cell.padEnd(widths[column] ?? 0)
	return cells.map((line) => line.map(pad).join('  ').trimEnd()).join('\n')
}

function mark(row: Row): string {
	return row.ok ? '' : 'MISSED'
}

function target(row: Row): string {
	return row.target === null ? '' : figure(row.target)
}

/** Four figures: what is measured here is not known any better. */
function figure(value: number): string {
	return String(Number(value.toPrecision(4)))
}

const args = process.argv.slice(2)
const unknown = args.filter((arg) => arg !== '--json')
if (unknown.length > 0) {
	console.error(`bench does not know ${unknown.join(' ')}; it takes --json or nothing.`)
	process.exitCode = 2
} else {
	const rows = await allRows()
	console.log(args.includes('--json') ? JSON.stringify(rows, null, '\t') : table(rows))
}
