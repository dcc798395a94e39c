/** Left against right, and edges as taped: the blocks of text below a summary. */
import type { Result } from '../engine/compute.ts'
import { tapedWords } from '../sides/tapedWords.ts'
import { sidesWords } from '../sides/words.ts'

/** "Left and right" of every panel that has both, and "As taped" of those whose tape was measured; empty where there are none. */
export function sidesText(result: Result): string {
	const { unit } = result.job
	const sides = result.panels.flatMap(({ title, sides: own, panel }) => (own ? [block(title, sidesWords(own, panel, unit))] : []))
	const taped = result.panels.flatMap(({ title, taped: own, panel }) => (own ? [block(title, tapedWords(own, panel, unit))] : []))
	return [...part('Left and right', sides), ...part('As taped', taped)].join('\n')
}

const block = (title: string, words: readonly string[]) => [title, ...words.map((line) => `  ${line}`)].join('\n')
const part = (title: string, blocks: readonly string[]) => (blocks.length > 0 ? [`${title}\n\n${blocks.join('\n\n')}\n`] : [])
