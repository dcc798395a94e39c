// The shape of a new job is known for a guess until something of it is written in.
import { parse } from 'jsonc-parser'
import { expect, test } from 'vitest'
import { jobFromAnswers } from '../../src/job/answers.ts'
import { isGuessed } from '../../src/job/guess.ts'
import { withUnit } from '../../src/workbench/changeUnit.ts'
import { withValue } from '../../src/workbench/document.ts'

const begun = (unit: 'mm' | 'in') => jobFromAnswers({ title: 'Mine', panel: 'Tank', hand: 'centre', hook: 'bolt', unit })
const found = (text: string) => parse(text, [], { allowTrailingComma: true }).panels[0].found

test.each(['mm', 'in'] as const)('a job begun in %s', (unit) => {
	const text = begun(unit)
	expect(isGuessed(found(text))).toBe(true)
	expect(isGuessed(found(withUnit(text, unit === 'mm' ? 'in' : 'mm')!))).toBe(true)
	expect(isGuessed(found(withValue(text, ['panels', 0, 'found', 'length'], 610)))).toBe(false)
	expect(isGuessed(found(withValue(text, ['panels', 0, 'found', 'front'], 1)))).toBe(false)
	expect(isGuessed({ kind: 'flat' })).toBe(false)
	expect(isGuessed({ ...found(text), kind: 'rolled' })).toBe(false)
})
