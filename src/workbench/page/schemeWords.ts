/** The words of the scheme's choices: as a person says them, beside the values of the job file. */
import type { Cell } from '../cells.ts'
import type { Data, PanelData } from './bench.ts'

export const WHAT: Cell = { key: 'what', says: 'What it is', kind: 'words' }
export const NOTE: Cell = { key: 'note', says: 'Note', kind: 'words' }
export const EVIDENCE: Cell = {
	key: 'evidence',
	says: 'Known from',
	kind: 'choice',
	of: [
		['original', 'the original paint'],
		['earlier-repaint', 'an earlier repaint'],
		['another-vehicle', 'another vehicle'],
		['assumed', 'nothing: it is assumed'],
	],
	unsaid: 'not said',
}
export const TEMPLATES: Cell = {
	key: 'templates',
	says: 'Made with',
	kind: 'choice',
	of: [
		['guides', 'a guide for each edge'],
		['piece', 'one piece for the whole of it'],
		['over-crown', 'pieces across the crown, both sides at once'],
	],
	unsaid: 'what suits it best',
}

/** On which sides; a panel of one side has no choice. */
export const handCell = ({ hand }: PanelData, unsaid: string): readonly Cell[] =>
	hand === 'centre' || hand === 'pair'
		? [
				{
					key: 'hand',
					says: 'It is on',
					kind: 'choice',
					of: [
						['mirrored', 'both sides alike'],
						['left', 'the left only'],
						['right', 'the right only'],
						...(hand === 'centre' ? ([['across', 'across the centreline']] as const) : []),
					],
					unsaid,
				},
			]
		: []

export const wordsOf = (one: Data, otherwise: string) => String(one.what ?? one.id ?? otherwise)
export const named = (list: readonly Data[] | undefined) => (list ?? []).flatMap(({ id }) => (typeof id === 'string' ? [id] : []))
export const choices = (list: readonly Data[] | undefined) =>
	(list ?? []).flatMap((one) => (typeof one.id === 'string' ? [[one.id, String(one.name ?? one.what ?? one.id)] as const] : []))
