/** Checks of taped edges of one panel: instruments and sides. Which lines there are to check is known once they are laid. */
import { type Findings, find, unknownName } from './findings.ts'
import type { Panel } from './schema.ts'

export function checkChecks(findings: Findings, panel: Panel, path: string, instruments: ReadonlySet<string>): void {
	for (const [index, check] of (panel.checks ?? []).entries()) {
		const here = `${path}/checks/${index}`
		if (check.with !== undefined && !instruments.has(check.with)) {
			const otherwise = 'add it to the instruments of the shop file'
			unknownName(findings, {
				...{ kind: 'INSTRUMENT', name: check.with, known: instruments, path: `${here}/with`, panel: panel.id, otherwise },
			})
		}
		const own = panel.hand === 'left' || panel.hand === 'right' ? panel.hand : undefined
		if (own && check.side && check.side !== own) {
			find(findings, () => ({
				...{
					code: 'SIDE_WRONG',
					path: `${here}/side`,
					place: { panel: panel.id },
					found: `"side": "${check.side}" on a panel on the ${own}`,
				},
				...{ expected: `"${own}", or no side`, fix: 'Take it away.' },
			}))
		}
	}
}
