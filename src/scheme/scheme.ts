import { endOf, startOf } from '../chart/curve.ts'
import type { Curve } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { StripeEnd } from '../job/schema.ts'
import { union } from '../plane/region.ts'
import { clearances, type Placed } from './clearance.ts'
import type { Band, Scheme, SchemeInput } from './parts.ts'
import { placeField } from './placeField.ts'
import { sidesOf } from './side.ts'
import { type LaidShape, layStripe } from './stripe.ts'

export type { Band, PlacedField, Scheme, SchemeInput, SidedEdge } from './parts.ts'

const SQUARE: StripeEnd = { shape: 'square' }
const RUNS_OFF: StripeEnd = { shape: 'runs-off' }

/** A line that ends this near the centreline meets its other side there, mm. */
const MEETS_MM = 1

/** The bands and fields of one panel, with what is wrong where they meet each other or the rim. */
export function layScheme(input: SchemeInput): Outcome<Scheme> {
	const problems: Problem[] = []
	const bands: Band[] = []
	const placed: Placed[] = []
	input.panel.stripes.forEach((stripe, i) => {
		const path = `${input.path}/stripes/${i}`
		const source = input.panel.edges.find((e) => e.id === stripe.edge)
		const shapes: LaidShape[] = []
		for (const side of sidesOf(input.panel, stripe.hand ?? source?.hand)) {
			if (!input.sides.includes(side)) continue
			const edge = input.edges.find((e) => e.edge === stripe.edge && e.side === side)
			if (!edge) continue // the line's own problem says why
			const front = stripe.front ?? (source?.front === 'runs-off' ? RUNS_OFF : SQUARE)
			const rear = stripe.rear ?? (source?.rear === 'runs-off' ? RUNS_OFF : SQUARE)
			const laid = layStripe(input, stripe, edge, front, rear, path, problems, shapes)
			bands.push(...laid.map(({ judged: _, ...band }) => band))
			placed.push(
				...laid.map((b) => ({
					...b,
					path,
					over: stripe.over ?? [],
					meets: endsOnCentreline(edge.curve),
				})),
			)
		}
	})
	const { area, beyond } = input
	const known = area && beyond ? { ...area, region: toChart(union([toPlane(area.region), beyond])) } : area
	problems.push(...clearances(input.chart, input.panel, placed, known, input.gapMm))
	const fields = input.panel.fields.flatMap((field, i) => placeField(input, field, `${input.path}/fields/${i}`, problems))
	return { value: { bands, fields }, problems }
}

const endsOnCentreline = (line: Curve) => !line.closed && [startOf(line), endOf(line)].some((p) => Math.abs(p.g) < MEETS_MM)
