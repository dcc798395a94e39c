import { placeOn } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import type { PanelSides, SidesInput } from './panelSides.ts'
import { centrelineWords, isOff, SD_95 } from './words.ts'

/** What comparing the sides finds wrong, as warnings: the two may differ, and the person decides. */
export function sidesProblems({ panel, path, survey }: SidesInput, sides: PanelSides): Problem[] {
	const problems: Problem[] = []
	const place = { panel: panel.id }
	const warn = (problem: Omit<Problem, 'severity'>) => problems.push({ severity: 'warning', ...problem })
	const { centreline, settled, swapped } = sides
	const readingOf = (id: string) => `${path}/readings/${survey.marks[`right/${id}`]?.readings[0] ?? 0}`
	for (const { kind, marks } of swapped) {
		const [first, second] = marks as readonly [string, string?]
		warn({
			code: 'SIDES_SWAPPED',
			path: readingOf(first),
			place,
			found:
				kind === 'sides'
					? `${first}, which fits the others once left and right are exchanged`
					: `${first} and ${second}, which fit the others once their ${kind} are exchanged on one side`,
			expected: 'marks that are written on the side, and under the name, that they were measured at',
			fix:
				kind === 'sides'
					? `Look at which side each reading of ${first} was taken on.`
					: `Look at which of ${first} and ${second} is which on each side.`,
		})
	}
	if (centreline?.proven) {
		const { lies, move } = centrelineWords(centreline, 'mm')
		warn({
			code: 'SIDES_CENTRELINE_OFF',
			path: `${path}/baseline`,
			place: { ...place, s: centreline.station },
			found: `a centreline that, as taped, ${lies}`,
			expected: `the middle between both sides, which these readings know to ±${(SD_95 * centreline.shiftSdMm).toFixed(1)} mm`,
			fix: `M${move.slice(1)}. A line that is the mean of both sides is right as it is.`,
		})
	}
	if (!settled) return problems
	const told = new Set(swapped.flatMap(({ marks }) => marks))
	for (const pair of sides.pairs) {
		if (!isOff(pair) || told.has(pair.id) || decided(sides, pair.lines)) continue
		if (survey.marks[`left/${pair.id}`]?.inDoubt || survey.marks[`right/${pair.id}`]?.inDoubt) continue
		const { across, along } = pair
		const parts = [
			...(along?.proven ? [`${Math.abs(along.mm).toFixed(1)} mm along`] : []),
			...(across.proven ? [`${Math.abs(across.mm).toFixed(1)} mm across`] : []),
		]
		warn({
			code: 'SIDES_DIFFER',
			path: readingOf(pair.id),
			place: placeOn(panel, pair.right, 'right'),
			found: `${pair.id}, which differs left from right by ${parts.join(' and ')}, more than the readings allow`,
			expected: 'both sides alike, since the line is mirrored',
			fix: `Measure left/${pair.id} and right/${pair.id} again; if they do differ, say with "sides" which side the line follows.`,
		})
	}
	return problems
}

/** Whether the job says of every mirrored line through a mark which side it follows. */
function decided({ choices }: PanelSides, lines: readonly string[]): boolean {
	const own = choices.filter(({ edge }) => lines.includes(edge))
	return own.length > 0 && own.every(({ sides }) => sides !== 'mean')
}
