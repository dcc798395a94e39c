// What is on the disk after saves, clashes, changes made outside and refusals. The disk itself is read, not what the server says of it.
import {
	appendFileSync,
	chmodSync,
	mkdirSync,
	readdirSync,
	readFileSync,
	renameSync,
	rmSync,
	statSync,
	writeFileSync,
} from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { type Disk, nodeDisk } from '../../../src/files/disk.ts'
import { type Keeping, startKeeper } from '../../../src/workbench/keeper.ts'
import type { Changed, Saved, StoredText, Version } from '../../../src/workbench/wire.ts'
import { folderOf, JOB, type Site, siteOf, stored } from './served.ts'

const file = (folder: string, name = 'guard') => join(folder, name, 'job.jsonc')
const onDisk = ({ folder }: Site) => readFileSync(file(folder), 'utf8')
/** what the versions hold, oldest first, as files */
function keptTexts(folder: string, name = 'guard'): { why: string; text: string }[] {
	const versions = join(folder, name, '.stripewright', 'versions', 'job.jsonc')
	return readdirSync(versions)
		.toSorted()
		.map((id) => ({ why: id.split('-').at(-1) ?? '', text: readFileSync(join(versions, id), 'utf8') }))
}
const saved = async (reply: Promise<Response>) => {
	const { status, ...rest } = await reply.then(async (r) => ({ status: r.status, ...((await r.json()) as Saved) }))
	expect(status).toBe(200)
	return rest.revision
}
/** every save a version of its own */
const each = { everyMs: 0 }

describe('saving', () => {
	test('writes the text as it is, byte by byte, with the rights of the file, and leaves nothing beside it', async () => {
		const site = await siteOf(folderOf())
		chmodSync(file(site.folder), 0o640)
		const { revision, text, file: said } = await stored(site)
		expect([text, said]).toEqual([JOB, 'job.jsonc'])
		const next = `${JOB}\r\n// ü, 1 13/16 ″, 😀\t\\ "\u2028\n`
		const after = await saved(site.put('/api/jobs/guard', next, revision))
		expect(after).toBeGreaterThan(revision)
		expect(onDisk(site)).toBe(next)
		expect(statSync(file(site.folder)).mode & 0o777).toBe(0o640)
		expect(await stored(site)).toEqual({ text: next, revision: after, file: 'job.jsonc' })
		expect(readdirSync(join(site.folder, 'guard')).toSorted()).toEqual(['.stripewright', 'job.jsonc'])
	})

	test('keeps what was there before, and what was saved', async () => {
		const site = await siteOf(folderOf(), each)
		let { revision } = await stored(site)
		for (const text of ['one', 'two']) revision = await saved(site.put('/api/jobs/guard', text, revision))
		const kept = [
			{ why: 'outside', text: JOB },
			{ why: 'saved', text: 'one' },
			{ why: 'saved', text: 'two' },
		]
		expect(keptTexts(site.folder)).toEqual(kept)
		const listed = await site.json<Version[]>('/api/jobs/guard/versions')
		expect(listed.map(({ why, bytes }) => [why, bytes])).toEqual(
			kept.map(({ why, text }) => [why, Buffer.byteLength(text)]).reverse(),
		)
		const oldest = listed.at(-1)
		expect(await site.json(`/api/jobs/guard/versions/${oldest?.id}`)).toEqual({ text: JOB })
		expect(Math.abs(Date.parse(oldest?.when ?? '') - Date.now())).toBeLessThan(60_000)
		for (const id of ['x', '..', encodeURIComponent('../../job.jsonc')])
			expect((await site.get(`/api/jobs/guard/versions/${id}`)).status).toBe(404)
	})

	test('the same text again is no change', async () => {
		const site = await siteOf(folderOf())
		const { revision } = await stored(site)
		expect(await saved(site.put('/api/jobs/guard', JOB, revision))).toBe(revision)
		// also where the page does not know that it is there already
		expect(await saved(site.put('/api/jobs/guard', JOB, 1))).toBe(revision)
		expect(readdirSync(join(site.folder, 'guard'))).toEqual(['job.jsonc'])
	})

	test('a text with half a pair of signs is saved as it can be read again', async () => {
		const site = await siteOf(folderOf())
		const { revision } = await stored(site)
		const after = await saved(site.put('/api/jobs/guard', 'a\ud800b', revision))
		expect(await stored(site)).toEqual({ text: 'a\ufffdb', revision: after, file: 'job.jsonc' })
	})

	test('a shop that has no file yet is saved as one; a job has the one beside it before that of the folder', async () => {
		const site = await siteOf(folderOf({ 'guard/job.jsonc': JOB, 'cover/job.jsonc': JOB, 'cover/shop.jsonc': '{"own": 1}' }))
		expect(await stored(site, '/api/shop')).toEqual({ text: '', revision: 0, file: 'shop.jsonc' })
		const revision = await saved(site.put('/api/shop', '{"of": "all"}', 0))
		expect(readFileSync(join(site.folder, 'shop.jsonc'), 'utf8')).toBe('{"of": "all"}')
		expect((await site.put('/api/shop', '{"of": "none"}', 0)).status).toBe(412)
		await saved(site.put('/api/jobs/guard/shop', '{"of": "guard"}', revision))
		expect((await stored(site, '/api/shop')).text).toBe('{"of": "guard"}')
		expect((await stored(site, '/api/jobs/cover/shop')).text).toBe('{"own": 1}')
	})
})

describe('of two texts none is lost', () => {
	test('a save from an old revision is refused with 412: what is there stays, what was refused is kept', async () => {
		const site = await siteOf(folderOf(), each)
		const { revision } = await stored(site)
		const first = await saved(site.put('/api/jobs/guard', 'first tab', revision))
		const reply = await site.put('/api/jobs/guard', 'second tab', revision)
		expect(reply.status).toBe(412)
		const { now, kept } = (await reply.json()) as Changed
		expect(now).toEqual({ text: 'first tab', revision: first, file: 'job.jsonc' })
		expect(await site.json(`/api/jobs/guard/versions/${kept}`)).toEqual({ text: 'second tab' })
		expect(onDisk(site)).toBe('first tab')
		// and then over it, by who has seen it
		await saved(site.put('/api/jobs/guard', 'second tab', first))
		expect(onDisk(site)).toBe('second tab')
		expect(keptTexts(site.folder).map(({ text }) => text)).toContain('first tab')
	})

	test('a change made outside is noticed by the save that would have written over it', async () => {
		// a disk whose times are so coarse that they tell nothing: only what the file says does
		const coarse = { ...nodeDisk, stamp: async (path: string) => (await nodeDisk.stamp(path)) && 'the same' }
		const site = await siteOf(folderOf(), each, coarse)
		const { revision } = await stored(site)
		const mine = await saved(site.put('/api/jobs/guard', 'mine', revision))
		writeFileSync(file(site.folder), 'them')
		const reply = await site.put('/api/jobs/guard', 'mine again', mine)
		expect(reply.status).toBe(412)
		const { now } = (await reply.json()) as Changed
		expect(now.text).toBe('them')
		expect(now.revision).toBeGreaterThan(mine)
		await saved(site.put('/api/jobs/guard', 'merged', now.revision))
		expect(keptTexts(site.folder)).toEqual([
			{ why: 'outside', text: JOB },
			{ why: 'saved', text: 'mine' },
			{ why: 'refused', text: 'mine again' },
			{ why: 'outside', text: 'them' },
			{ why: 'saved', text: 'merged' },
		])
	})

	test('what a person opened and an editor changed is kept as it was opened', async () => {
		const site = await siteOf(folderOf())
		const { revision } = await stored(site)
		writeFileSync(file(site.folder), 'from an editor')
		const now = await stored(site)
		expect(now.text).toBe('from an editor')
		expect(now.revision).toBeGreaterThan(revision)
		expect(keptTexts(site.folder)).toEqual([{ why: 'outside', text: JOB }])
	})

	test('a file that was taken away is written anew, whoever asks; a folder that was taken away is not', async () => {
		const site = await siteOf(folderOf({ 'guard/job.jsonc': JOB, 'other/job.jsonc': JOB }))
		const { revision } = await stored(site)
		rmSync(file(site.folder))
		expect((await site.get('/api/jobs/guard')).status).toBe(404)
		expect(keptTexts(site.folder)).toEqual([{ why: 'outside', text: JOB }])
		expect(await saved(site.put('/api/jobs/guard', 'again', revision))).toBeGreaterThan(revision)
		expect(onDisk(site)).toBe('again')
		await stored(site, '/api/jobs/other')
		renameSync(join(site.folder, 'other'), join(site.folder, 'moved'))
		const reply = await site.put('/api/jobs/other', 'again', revision)
		expect(reply.status).toBe(404)
		expect(await reply.text()).toMatch(/there is no .*other/)
		expect(readdirSync(site.folder).toSorted()).toEqual(['guard', 'moved'])
	})

	test('twenty saves at the same moment: one is saved, nineteen are refused and kept', async () => {
		const site = await siteOf(folderOf(), each)
		const { revision } = await stored(site)
		const texts = Array.from({ length: 20 }, (_, i) => `from ${i} ${'x'.repeat(i * 1000)}`)
		const statuses = await Promise.all(texts.map(async (text) => (await site.put('/api/jobs/guard', text, revision)).status))
		expect(statuses.toSorted()).toEqual([200, ...Array.from({ length: 19 }, () => 412)])
		expect(onDisk(site)).toBe(texts[statuses.indexOf(200)])
		const kept = keptTexts(site.folder).map(({ text }) => text)
		expect(texts.filter((text) => !kept.includes(text))).toEqual([])
	})

	test('saves one after another from several at once go through in turn, and the last is whole', async () => {
		const site = await siteOf(folderOf())
		const one = async (who: string) => {
			for (let i = 0; i < 10; ) {
				const now = await stored(site)
				const reply = await site.put('/api/jobs/guard', `${now.text === JOB ? '' : now.text}${who}`, now.revision)
				if (reply.status === 200) i++
			}
		}
		await Promise.all([one('a'), one('b'), one('c')])
		expect([...onDisk(site)].toSorted().join('')).toBe('a'.repeat(10) + 'b'.repeat(10) + 'c'.repeat(10))
	})
})

describe('versions', () => {
	test('the last fifty are kept: the fifty-first takes the oldest away', async () => {
		const site = await siteOf(folderOf(), each)
		let { revision } = await stored(site)
		for (let i = 1; i <= 49; i++) revision = await saved(site.put('/api/jobs/guard', `text ${i}`, revision))
		const fifty = keptTexts(site.folder).map(({ text }) => text)
		expect(fifty).toEqual([JOB, ...Array.from({ length: 49 }, (_, i) => `text ${i + 1}`)])
		await saved(site.put('/api/jobs/guard', 'text 50', revision))
		expect(keptTexts(site.folder).map(({ text }) => text)).toEqual([...fifty.slice(1), 'text 50'])
	})

	test('what is typed within half a minute is one version: the states it passed over are not', async () => {
		let now = Date.UTC(2027, 3, 1, 9)
		const site = await siteOf(folderOf(), { now: () => now })
		let { revision } = await stored(site)
		for (const [after, text] of [
			[0, 'a'],
			[10_000, 'ab'],
			[19_000, 'abc'],
			[2_000, 'abcd'],
			// a clock that was put back an hour
			[-3_600_000, 'abcde'],
		] as const) {
			now += after
			revision = await saved(site.put('/api/jobs/guard', text, revision))
		}
		expect(keptTexts(site.folder).map(({ text }) => text)).toEqual([JOB, 'abc', 'abcd', 'abcde'])
		expect(onDisk(site)).toBe('abcde')
	})
})

describe('a disk that refuses', () => {
	const failing = (code: string, matches: RegExp) => ({
		...nodeDisk,
		async writeNew(path: string, bytes: Uint8Array, like?: string) {
			if (!matches.test(path)) return nodeDisk.writeNew(path, bytes, like)
			await nodeDisk.writeNew(path, bytes.subarray(0, bytes.length / 2))
			throw Object.assign(new Error(`${code}: ${path}`), { code, errno: -1, path, syscall: 'write' })
		},
	})

	test('while the text is written: it is as it was, and what was wrong is said', async () => {
		const site = await siteOf(folderOf(), {}, failing('ENOSPC', /guard\/\.job\.jsonc\.stripewright/))
		const { revision } = await stored(site)
		const reply = await site.put('/api/jobs/guard', 'next', revision)
		expect(reply.status).toBe(507)
		expect(await reply.text()).toContain('the disk was full')
		expect(onDisk(site)).toBe(JOB)
		expect((await stored(site)).revision).toBe(revision)
		expect(readdirSync(join(site.folder, 'guard')).toSorted()).toEqual(['.stripewright', 'job.jsonc'])
	})

	test('while what was there is kept: nothing is written over it', async () => {
		const site = await siteOf(folderOf(), {}, failing('EACCES', /-outside\.stripewright/))
		const { revision } = await stored(site)
		expect((await site.put('/api/jobs/guard', 'next', revision)).status).toBe(500)
		expect(onDisk(site)).toBe(JOB)
	})

	test('while a copy of what was saved is kept: it is saved all the same', async () => {
		const site = await siteOf(folderOf(), {}, failing('ENOSPC', /-saved\.stripewright/))
		const { revision } = await stored(site)
		await saved(site.put('/api/jobs/guard', 'next', revision))
		expect(onDisk(site)).toBe('next')
	})
})

test('ended at any step of a save, what is on the disk is the text of before or the new one, whole', async () => {
	const steps = ['writeNew', 'rename', 'syncFolder', 'makeFolder', 'removeFile'] as const
	let finished = false
	const left = new Set<string>()
	for (let last = 1; !finished; last++) {
		const folder = folderOf()
		let step = 0
		let armed = false
		const disk: Disk = { ...nodeDisk }
		for (const name of steps) {
			const does = nodeDisk[name] as (...given: unknown[]) => Promise<void>
			Object.assign(disk, {
				[name]: async (...given: unknown[]) => {
					if (!armed || ++step < last) return does(...given)
					// Power off: of what was being written half is there, and nothing comes after.
					if (name === 'writeNew' && step === last)
						await nodeDisk.writeNew(given[0] as string, (given[1] as Uint8Array).subarray(0, 3))
					throw Object.assign(new Error('off'), { code: 'EIO', errno: -5, path: String(given[0]) })
				},
			})
		}
		const site = await siteOf(folder, each, disk)
		const { revision } = await stored(site)
		armed = true
		const { status } = await site.put('/api/jobs/guard', 'the new text', revision)
		finished = step < last
		const now = readFileSync(file(folder), 'utf8')
		left.add(now)
		expect([JOB, 'the new text']).toContain(now)
		if (status === 200) expect(now).toBe('the new text')
		// who starts again sees it, and can go on
		const next = await siteOf(folder)
		const again = await stored(next)
		expect(again.text).toBe(now)
		await saved(next.put('/api/jobs/guard', 'and on', again.revision))
		expect(last).toBeLessThan(60)
	}
	expect(left.size).toBe(2)
})

describe('changes as they come', () => {
	/** revisions that a page hears of, until `enough` */
	async function heard(site: Site, act: (revision: number) => Promise<unknown>, enough: number): Promise<number[]> {
		const reply = await site.get('/api/jobs/guard/changes')
		expect(reply.headers.get('content-type')).toBe('text/event-stream')
		const reader = (reply.body as ReadableStream<Uint8Array>).getReader()
		let text = ''
		const revisions = () => [...text.matchAll(/^data: (\d+)\n\n/gm)].map(([, n]) => Number(n))
		let acted = false
		while (revisions().length < enough) {
			const { done, value } = await reader.read()
			if (done) break
			text += new TextDecoder().decode(value)
			if (!acted && revisions()[0] !== undefined) {
				acted = true
				await act(revisions()[0] as number)
			}
		}
		await reader.cancel()
		return revisions()
	}

	test('by a save, and by an editor', async () => {
		const site = await siteOf(folderOf())
		const { revision } = await stored(site)
		const [first, second, third] = await heard(
			site,
			async (now) => {
				await saved(site.put('/api/jobs/guard', 'by another tab', now))
				appendFileSync(file(site.folder), '\n// by an editor')
			},
			3,
		)
		expect(first).toBe(revision)
		expect(second).toBeGreaterThan(revision)
		expect(third).toBeGreaterThan(second as number)
		expect(await stored(site)).toMatchObject({ text: 'by another tab\n// by an editor', revision: third })
	})

	test('end with the server, which does not wait for those who listen', async () => {
		const site = await siteOf(folderOf())
		const reply = await site.get('/api/jobs/guard/changes')
		const reader = (reply.body as ReadableStream<Uint8Array>).getReader()
		await reader.read()
		const stopped = site.stop()
		for (;;) if ((await reader.read()).done) break
		await stopped
	})
})

describe('the keeper of a page', () => {
	/** what the page does, over real HTTP to whichever server is there */
	function keeperOf(site: () => Site, first: StoredText) {
		const states: Keeping[] = []
		const keeper = startKeeper(first, {
			afterMs: 5,
			againMs: 20,
			told: (state) => states.push(state),
			save: async (text, revision) => {
				const reply = await site().put('/api/jobs/guard', text, revision)
				if (reply.status === 200 || reply.status === 412) return (await reply.json()) as Saved | Changed
				throw new Error(await reply.text())
			},
		})
		let looked = 0
		/** a state told since the last one that was waited for: some are over before anybody looks */
		const until = async (state: Keeping['state']) => {
			const at = () => states.findIndex((told, i) => i >= looked && told.state === state)
			for (let i = 0; i < 500 && at() < 0; i++) await new Promise((r) => setTimeout(r, 10))
			expect(states.slice(looked).map((told) => told.state)).toContain(state)
			looked = at() + 1
		}
		return { keeper, states, until }
	}

	test('goes on over a server that ended and was started anew, though revisions are counted anew', async () => {
		let site = await siteOf(folderOf())
		const first = await stored(site)
		const { keeper, states, until } = keeperOf(() => site, first)
		keeper.keep('typed before')
		await until('saved')
		await site.stop()
		keeper.keep('typed while nobody answered')
		await until('gone')
		site = await siteOf(site.folder)
		await until('saved')
		expect(onDisk(site)).toBe('typed while nobody answered')
		expect(states.some(({ state }) => state === 'changed')).toBe(false)
		keeper.stop()
	})

	test('says so where the file was changed in between, and writes over it only when told to', async () => {
		let site = await siteOf(folderOf())
		const { keeper, states, until } = keeperOf(() => site, await stored(site))
		await site.stop()
		keeper.keep('mine')
		await until('gone')
		mkdirSync(join(site.folder, 'guard'), { recursive: true })
		writeFileSync(file(site.folder), 'theirs')
		site = await siteOf(site.folder)
		await until('changed')
		expect(states.at(-1)).toMatchObject({ theirs: { text: 'theirs' } })
		expect(onDisk(site)).toBe('theirs')
		keeper.settle('ours')
		keeper.keep('mine, and more')
		await until('saving')
		await until('saved')
		expect(onDisk(site)).toBe('mine, and more')
		expect(keptTexts(site.folder).map(({ text }) => text)).toEqual(expect.arrayContaining(['mine', 'theirs']))
		keeper.stop()
	})
})
