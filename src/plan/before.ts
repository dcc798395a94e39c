/** What must be on before what: said of the paints, in the order given, of single paints. */
import type { Problem } from '../job/problem.ts'
import type { Paint, Paintwork } from '../job/schema.ts'

export interface Before {
	/** whether one paint must be on before another, by way of others too */
	readonly before: (first: string, then: string) => boolean
	readonly problems: readonly Problem[]
}

interface Rule {
	readonly first: string
	readonly next: string
	/** where it is said, and what to do where it goes against the others; none of what goes over what */
	readonly path: string
	readonly said: string
	readonly fix: string
}

/**
 * Rules are taken in turn: a candy over its ground coat, then the order given, then what single paints come after. One that goes
 * against those before it is a problem and is not regarded.
 */
export function beforeOf(paints: readonly Paint[], paintwork: Paintwork | undefined, withOrder = true): Before {
	const known = new Set(paints.map(({ id }) => id))
	const after = new Map<string, Set<string>>([...known].map((id) => [id, new Set()]))
	const nameOf = (id: string) => paints.find((paint) => paint.id === id)?.name ?? id
	const problems: Problem[] = []
	const reported = new Set<string>()
	const rules = [...overRules(paints), ...(withOrder ? orderRules(paintwork) : []), ...afterRules(paintwork)]
	for (const rule of rules) {
		if (!known.has(rule.first) || !known.has(rule.next)) continue
		const way = wayTo(after, rule.next, rule.first)
		if (!way) {
			after.get(rule.first)?.add(rule.next)
			continue
		}
		// Of each entry once, and not where paints that go over themselves are a problem already.
		if (rule.path === '' || reported.has(rule.path)) continue
		reported.add(rule.path)
		problems.push(cycleProblem(rule, way, nameOf))
	}
	return { before: (first, then) => first !== then && wayTo(after, first, then) !== undefined, problems }
}

/** A candy needs its ground coat first, whatever else is said. */
const overRules = (paints: readonly Paint[]): readonly Rule[] =>
	paints.flatMap(({ id, sprayed }) =>
		sprayed?.over === undefined ? [] : [{ first: sprayed.over, next: id, path: '', said: '', fix: '' }],
	)

function orderRules(paintwork: Paintwork | undefined): readonly Rule[] {
	const order = [...new Set(paintwork?.order ?? [])]
	return order.flatMap((next, i) =>
		order.slice(0, i).map((first): Rule => {
			const path = `/paintwork/order/${(paintwork?.order ?? []).indexOf(next)}`
			return { first, next, path, said: 'in the order given', fix: `Move "${next}" before "${first}" in "order".` }
		}),
	)
}

const afterRules = (paintwork: Paintwork | undefined): readonly Rule[] =>
	(paintwork?.after ?? []).flatMap(({ paint, after }, i) =>
		after.map((first, k): Rule => {
			const path = `/paintwork/after/${i}/after/${k}`
			return { first, next: paint, path, said: 'as is said here', fix: `Take "${first}" away from what "${paint}" comes after.` }
		}),
	)

function cycleProblem({ first, next, path, said, fix }: Rule, way: readonly string[], nameOf: (id: string) => string): Problem {
	const round = [...way, next].map(nameOf)
	return {
		...{ code: 'PAINT_ORDER_CYCLE', severity: 'error', path },
		found:
			first === next
				? `${nameOf(next)} after itself`
				: `${round.join(' before ')}: ${nameOf(first)} before ${nameOf(next)} ${said}, and the other way round`,
		expected: 'paints that come after each other without going round in a circle; this entry is left out of the plan',
		fix,
	}
}

/** The shortest way from one paint to another that must be later; undefined where there is none. */
function wayTo(after: ReadonlyMap<string, ReadonlySet<string>>, from: string, to: string): readonly string[] | undefined {
	const ways: (readonly string[])[] = [[from]]
	const seen = new Set([from])
	for (let way = ways.shift(); way; way = ways.shift()) {
		const last = way[way.length - 1] as string
		if (last === to) return way
		for (const next of after.get(last) ?? []) {
			if (seen.has(next)) continue
			seen.add(next)
			ways.push([...way, next])
		}
	}
	return undefined
}
