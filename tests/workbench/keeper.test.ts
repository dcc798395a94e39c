import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { type Keeping, startKeeper } from '../../src/workbench/keeper.ts'
import type { Changed, Saved } from '../../src/workbench/wire.ts'

beforeEach(() => void vi.useFakeTimers())
afterEach(() => void vi.useRealTimers())

/** A disk that answers after `ms`, with its own changes and its moments of absence. */
function disk(ms = 30) {
	let now = { text: 'first', revision: 1, file: 'job.jsonc' }
	const state = { gone: false, saves: 0, together: 0, most: 0 }
	return {
		state,
		now: () => now,
		elsewhere(text: string) {
			now = { text, revision: now.revision + 1, file: now.file }
		},
		async save(text: string, revision: number): Promise<Saved | Changed> {
			state.saves++
			state.together++
			state.most = Math.max(state.most, state.together)
			await new Promise((done) => setTimeout(done, ms))
			state.together--
			if (state.gone) throw new Error('nobody')
			if (revision !== now.revision) return { now, kept: 'v1' }
			now = { text, revision: revision + 1, file: now.file }
			return { revision: now.revision }
		},
	}
}

function started(of: ReturnType<typeof disk>) {
	const told: Keeping[] = []
	const keeper = startKeeper({ text: 'first', revision: 1 }, { save: of.save, told: (keeping) => told.push(keeping) })
	return { keeper, told, last: () => told[told.length - 1]?.state }
}

test('what is typed without a pause is on the disk within a half second all the same, one save at a time', async () => {
	const of = disk()
	const { keeper } = started(of)
	for (let i = 1; i <= 40; i++) {
		keeper.keep(`text ${i}`)
		await vi.advanceTimersByTimeAsync(50)
		const behind = i - (of.now().text === 'first' ? 0 : Number(of.now().text.slice(5)))
		expect(behind * 50).toBeLessThanOrEqual(500)
	}
	await vi.advanceTimersByTimeAsync(1000)
	expect(of.now().text).toBe('text 40')
	expect(of.state.most).toBe(1)
})

test('while nobody answers the newest text waits, and is saved when somebody does', async () => {
	const of = disk()
	const { keeper, last } = started(of)
	of.state.gone = true
	keeper.keep('a')
	await vi.advanceTimersByTimeAsync(5000)
	expect(last()).toBe('gone')
	keeper.keep('b')
	of.state.gone = false
	await vi.advanceTimersByTimeAsync(2000)
	expect(of.now().text).toBe('b')
	expect(last()).toBe('saved')
})

test('a file changed elsewhere is not written over until somebody says so', async () => {
	for (const which of ['ours', 'theirs'] as const) {
		const of = disk()
		const { keeper, told, last } = started(of)
		of.elsewhere('by an editor')
		keeper.keep('typed here')
		await vi.advanceTimersByTimeAsync(1000)
		expect(told[told.length - 1]).toMatchObject({ state: 'changed', theirs: { text: 'by an editor' } })
		keeper.keep('typed on')
		await vi.advanceTimersByTimeAsync(5000)
		expect(of.now().text).toBe('by an editor')
		keeper.settle(which)
		await vi.advanceTimersByTimeAsync(1000)
		expect(of.now().text).toBe(which === 'ours' ? 'typed on' : 'by an editor')
		expect(last()).toBe('saved')
	}
})
