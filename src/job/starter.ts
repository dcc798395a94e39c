/** A whole job to go on from, made of a table of readings: text with comments that a beginner follows. */
import { MM_PER_INCH, type Unit } from '../units/length.ts'
import type { CsvMark, CsvReadings } from './csv.ts'
import { FORMAT, type ReadingInput } from './schema.ts'

export interface StarterOptions {
	readonly title: string
	readonly table: CsvReadings
	/** name of the panel of rows that name none */
	readonly panel?: string
}

/**
 * The text of a job file with the readings of a table: the panels that its rows name, or one (flat, until its shape is written in),
 * and on each a line through the marks front to rear and a coach line on it. It loads without problems whatever the table held, provided that all its
 * sides are of one kind (left and right, or above and below).
 */
export function jobFromCsv({ title, table, panel = 'panel-1' }: StarterOptions): string {
	const { unit } = table
	const panels = panelsIn(table, panel).map((one) => panelText(one, unit))
	return `// A job for Stripewright. Lines that begin with // are remarks for you; the program passes over them.
{
  "format": ${FORMAT},
  "title": ${JSON.stringify(title)},

  // Plain numbers are in this unit, "mm" or "in". A length may also carry its own: "46.5 mm", "1 13/16 in".
  "unit": "${unit}",

  // Each paint with a name of your own (id) and a colour for the drawings.
  "paints": [
    { "id": "line-paint", "name": "Coach line", "colour": "#1f6b4f" },
  ],

  "panels": [
${panels.join('\n')}
  ],
}
`
}

/** What a table holds of one panel. */
type PanelTable = Pick<CsvReadings, 'readings' | 'marks'> & { readonly id: string }

/** In the order in which rows name them; rows that name none are of the first, or of one called `otherwise`. */
function panelsIn({ rows, readings, marks }: CsvReadings, otherwise: string): readonly PanelTable[] {
	const named = [...new Set(rows.flatMap(({ panel }) => (panel === undefined ? [] : [panel])))]
	if (named.length < 2) return [{ id: named[0] ?? otherwise, readings, marks }]
	return named.map((id, i) => {
		const entries = rows.filter(({ panel = named[0] }) => panel === named[i]).flatMap((row) => row.entries)
		const own = entries.flatMap((entry) => (entry.list === 'readings' ? [entry] : []))
		return { id, readings: own.map(({ input }) => input), marks: marksOf(own.flatMap(({ mark }) => mark ?? [])) }
	})
}

/** `id` of the same mark may come more than once. */
function marksOf(read: readonly CsvMark[]): readonly CsvMark[] {
	return [...new Set(read.map(({ id }) => id))]
		.map((id) => {
			const own = read.filter((one) => one.id === id)
			const stationMm = own.reduce((sum, one) => sum + one.stationMm, 0) / own.length
			return { id, stationMm, girthMm: Math.max(...own.map((one) => one.girthMm)) }
		})
		.sort((a, b) => a.stationMm - b.stationMm)
}

function panelText({ id, readings, marks }: PanelTable, unit: Unit): string {
	const hand = handOfReadings(readings)
	const size = sizeOf(marks, unit)
	const readingLines = readings.map((reading) => `        ${inline(reading)},`).join('\n')
	return `    {
      "id": ${JSON.stringify(id)},

${HAND_REMARKS[hand]}
      "hand": "${hand}",

      // Take the notes away when all of it is done: until then the tool reminds you.
      "notes": "TO DO: say what shape the panel is (flat stands here until then), and what its datums are",

      // TO DO: its shape, as it was before stripping. "flat" stands here until you write what it is:
      //   bent one way only (a chain case):
      //     { "kind": "rolled", "round": { "profile": { "radius": 62 }, "baseline": "along-axis" }, "length": 500 }
      //   bent both ways (a mudguard):
      //     { "kind": "revolved", "crown": { "radius": 310 }, "profile": { "radius": 62 }, "length": 500 }
      "found": { "kind": "flat", "front": ${size.front}, "length": ${size.length}, "width": ${size.width} },

      // TO DO: places that outlive the stripping: a bolt hole, a flange, a seam. Stations count rearward from the first.
      "datums": [
${datumsOf(readings, marks).join('\n')}
      ],

      // What was measured. Station: along the baseline. Girth: square off it, the tape lying on the panel.
      "readings": [
${readingLines}
      ],

${linesOf(marks)}
    },`
}

/**
 * Places that lengths were read to and that have no station and girth of their own are taken for datums: the first for where the tape is
 * hooked, others for as far behind it as the tape between them says. Without marks nothing tells datums from marks.
 */
function datumsOf(readings: readonly ReadingInput[], marks: readonly CsvMark[]): readonly string[] {
	const known = new Set(marks.map(({ id }) => id))
	const lengths = readings.flatMap((reading) => ('from' in reading && 'to' in reading ? [reading] : []))
	const ends = lengths.flatMap(({ from, to }) => [from, to]).filter((name) => !name.includes('/') && !known.has(name))
	const [hook = 'front', ...others] = known.size === 0 ? [] : new Set(ends)
	const datum = (id: string, station: number | string) => `        ${inline({ id, what: 'say what it is', station })},`
	const behind = others.flatMap((id) => {
		const tape = lengths.find(({ kind, from, to }) => kind === 'tape' && [from, to].includes(id) && [from, to].includes(hook))
		return tape ? [datum(id, tape.length)] : []
	})
	return [datum(hook, 0), ...behind]
}

type StarterHand = 'centre' | 'pair' | 'left'

const HAND_REMARKS: Readonly<Record<StarterHand, string>> = {
	centre: '      // It lies on the centreline of the vehicle: places are left or right of that line, as the driver sees it.',
	pair: '      // Two panels, left and right, with one scheme: places are above or below the baseline.',
	left: '      // TO DO: "left" or "right", the side of the vehicle that it is on; "pair" for both. Places are above or below the baseline.',
}

function handOfReadings(readings: readonly ReadingInput[]): StarterHand {
	if (readings.some(({ panel }) => panel !== undefined)) return 'pair'
	const sides = readings.map((reading) => (reading.kind === 'square' ? reading.side : undefined))
	return sides.some((side) => side === 'above' || side === 'below') ? 'left' : 'centre'
}

/** Room round the marks, so that a line through them lies well on the panel, mm. */
const ROOM_MM = 50

function sizeOf(marks: readonly CsvMark[], unit: Unit): { front: number; length: number; width: number } {
	const stations = [0, ...marks.map(({ stationMm }) => stationMm)]
	const front = inUnit(Math.min(...stations) - ROOM_MM, unit, Math.floor)
	const rear = inUnit(Math.max(...stations) + ROOM_MM, unit, Math.ceil)
	const width = inUnit(Math.max(0, ...marks.map(({ girthMm }) => girthMm)) + ROOM_MM, unit, Math.ceil)
	return { front, length: rear - front, width }
}

function inUnit(mm: number, unit: Unit, whole: (value: number) => number): number {
	return whole(unit === 'in' ? mm / MM_PER_INCH : mm)
}

function linesOf(marks: readonly CsvMark[]): string {
	if (marks.length < 2) {
		return `      // A line needs two marks or more; this table had ${marks.length}. When there are more, add:
      //   "edges": [{ "id": "line", "through": ["u1", "u2"] }],
      //   "stripes": [{ "id": "coach-line", "edge": "line", "lay": "centred", "bands": [{ "paint": "line-paint", "width": "3 mm" }] }],`
	}
	const through = marks.map(({ id }) => `          ${JSON.stringify(id)},`).join('\n')
	return `      // A smooth line through the marks, front to rear. On a centreline or a pair it is on both sides alike,
      // unless you add "hand": "left" or "hand": "right".
      "edges": [
        {
          "id": "line",
          "through": [
${through.replace(/^ {2}/gm, '    ')}
          ],
        },
      ],

      // What is painted along the line: here 3 mm, half to each side of it.
      "stripes": [
        { "id": "coach-line", "edge": "line", "lay": "centred", "bands": [{ "paint": "line-paint", "width": "3 mm" }] },
      ],`
}

/** On one line, with room inside the braces. */
export function inline(value: object): string {
	const entries = Object.entries(value).map(([key, each]) => `${JSON.stringify(key)}: ${JSON.stringify(each)}`)
	return `{ ${entries.join(', ')} }`
}
