/** What lines gave to flow over a seam, in the words of the bench. */
import type { PanelResult } from '../engine/panel.ts'
import type { Seam, SeamMeeting } from '../engine/seams.ts'
import type { TieGift } from '../engine/tie.ts'
import { formatLength, placeText } from '../units/format.ts'
import type { Unit } from '../units/length.ts'

/** One sentence for each line and panel that gave something; both sides in one where they gave alike. */
export function tiedWords(seam: Seam, panels: readonly PanelResult[], unit: Unit): readonly string[] {
	const said = new Map<string, string[]>()
	for (const meeting of seam.meetings) {
		for (const half of [0, 1] as const) {
			const gift = meeting.tied?.gave[half]
			if (!gift) continue
			const words = `${lineOn(seam, meeting, half, panels)}\n${gave(gift, unit)}`
			const side = meeting.sides[half]
			const hand = panels.find(({ id }) => id === panelOf(seam, half))?.hand
			said.set(words, [...(said.get(words) ?? []), ...(side === 'both' || side === hand ? [] : [side])])
		}
	}
	return [...said].map(([words, sides]) => {
		const [line, did] = words.split('\n')
		return `${line}${sides.length > 0 ? `, ${sides.join(' and ')}` : ''}: ${did}`
	})
}

const panelOf = (seam: Seam, half: 0 | 1) => (half === 0 ? seam.panel : seam.with)

/** "upper gold line of the tank" */
export function lineOn(seam: Seam, meeting: SeamMeeting, half: 0 | 1, panels: readonly PanelResult[]): string {
	const panel = panels.find(({ id }) => id === panelOf(seam, half))
	const edge = half === 0 ? meeting.own : meeting.theirs
	return `${panel?.panel.edges.find(({ id }) => id === edge)?.what ?? edge} on ${panel?.title ?? panelOf(seam, half)}`
}

/** Less is not seen on any panel. */
const NOTHING_MM = 0.005
const NOTHING_DEG = 0.005

function gave({ movedMm, way, turnDeg, overMm, end }: TieGift, unit: Unit): string {
	const moved = movedMm < NOTHING_MM ? [] : [`moves ${length(movedMm, unit)} ${way}`]
	const turned =
		Math.abs(turnDeg) < NOTHING_DEG
			? []
			: [
					`turns ${Math.abs(turnDeg)
						.toFixed(1)
						.replace(/^0\.0$/, 'less than 0.1')} degrees`,
				]
	const did = [...moved, ...turned]
	if (overMm === 0 || did.length === 0) return 'stays as it is'
	const over = placeText(overMm, unit)
	const where =
		end === undefined ? `at the seam, over ${over}` : `at its ${end} end, over its ${end === 'front' ? 'first' : 'last'} ${over}`
	return `${did.join(' and ')} ${where}`
}

/** To a tenth; what is less than that is not said to be nothing. */
function length(mm: number, unit: Unit): string {
	return formatLength(mm, unit, { decimals: unit === 'mm' ? (mm < 0.1 ? 2 : 1) : 3 }).text
}
