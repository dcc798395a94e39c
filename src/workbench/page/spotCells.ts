/** The cells of a place on a panel, and the sides that it can lie on. */
import type { Cell } from '../cells.ts'
import type { PanelData } from './bench.ts'

export const pairs = (names: readonly string[]) => names.map((name) => [name, name] as const)
export const listOf = (value: unknown) => (Array.isArray(value) ? (value as readonly unknown[]) : [])

/** Station, girth and side of a place, with the sides that this panel has. */
export const spot = (panel: PanelData, must = true): readonly Cell[] => [
	{ key: 'station', says: 'Station', kind: 'length', must },
	{ key: 'girth', says: 'Girth', kind: 'length', sign: 'not-negative' },
	{ key: 'side', says: 'Side', kind: 'choice', of: pairs(sidesOf(panel)), unsaid: 'on it' },
]
export const sidesOf = ({ hand }: PanelData) => (hand === 'centre' ? ['left', 'right'] : ['above', 'below'])
