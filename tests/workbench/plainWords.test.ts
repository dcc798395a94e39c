// What the page says of a problem has none of the job file's keys in it.
import { expect, test } from 'vitest'
import { plainWords } from '../../src/workbench/plainWords.ts'

test('words of the file are said as the page says them', () => {
	const said: readonly (readonly [string, string])[] = [
		['let that end run off ("shape": "runs-off"), or look at the line', 'let that end run off, or look at the line'],
		['let tank keep its lines ("keeps": "tank")', 'let tank keep its lines'],
		[
			'if they do differ, say with "sides" which side the line follows.',
			'if they do differ, say at the edge, under “Measured on both sides”, which side the line follows.',
		],
		['"sides": "each" on a line whose hand is "left"', '“each side as it was” on a line which is on the left only'],
		[
			'give one of them another line, or add "over": ["body"] to rim',
			'give one of them another line, or say that rim lies over body',
		],
		['the line "shoulder", whose hand is "across"', 'the line "shoulder", which lies across the centreline'],
	]
	for (const [written, plain] of said) expect(plainWords(written)).toBe(plain)
})
