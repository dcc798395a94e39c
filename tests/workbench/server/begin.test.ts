// New jobs: what is written is loaded again by the engine, and says nothing that a beginner would have to mend.
import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { compute } from '../../../src/engine/compute.ts'
import { loadJob } from '../../../src/job/load.ts'
import { defaultShop } from '../../../src/job/shopDefaults.ts'
import type { Beginning, JobEntry, Starter, StoredText } from '../../../src/workbench/wire.ts'
import { folderOf, JOB, siteOf } from './served.ts'

async function begun(beginning: Beginning) {
	const site = await siteOf(folderOf({}))
	const reply = await site.post('/api/jobs', beginning)
	expect(reply.status).toBe(201)
	const { name } = (await reply.json()) as { readonly name: string }
	const { text } = await site.json<StoredText>(`/api/jobs/${encodeURIComponent(name)}`)
	expect(readdirSync(site.folder)).toEqual([name])
	expect(readFileSync(join(site.folder, name, 'job.jsonc'), 'utf8')).toBe(text)
	const { value, problems } = loadJob(text)
	expect(problems).toEqual([])
	return { name, text, job: value!.job }
}

const ANSWERS: Extract<Beginning, { from: 'answers' }> = {
	...{
		from: 'answers',
		title: 'Roadster "1959" // ä',
		panel: 'Fuel tank, upper',
		hand: 'centre',
		hook: 'the front bolt\n"hole"',
	},
	...{ unit: 'mm', name: 'Tank of 59' },
}

describe('a job begins', () => {
	test('from every starter, under its title', async () => {
		const site = await siteOf(folderOf({}))
		const starters = await site.json<Starter[]>('/api/starters')
		expect(starters.map(({ name }) => name)).toContain('coach-line-mudguard')
		for (const { name: starter, title, about } of starters) {
			expect(about).toMatch(/\w/)
			expect((await begun({ from: 'starter', starter, name: 'mine' })).job.title).toBe(title)
		}
	})

	test.each(['mm', 'in'] as const)('from three answers, in %s: nothing in them is taken for more than words', async (unit) => {
		const { name, job, text } = await begun({ ...ANSWERS, unit })
		expect(name).toBe(ANSWERS.name)
		expect(job).toMatchObject({ title: ANSWERS.title, unit })
		expect(job.panels).toHaveLength(1)
		expect(job.panels[0]).toMatchObject({ id: 'fuel-tank-upper', title: ANSWERS.panel, hand: 'centre', readings: [] })
		expect(job.panels[0]?.datums).toMatchObject([{ id: 'hook', what: ANSWERS.hook, station: 0 }])
		expect(text).toContain('// ')
		expect(compute(job, defaultShop(), { until: 'scheme' }).problems.filter(({ severity }) => severity === 'error')).toEqual([])
	})

	test.each([
		['Kotflügel', 'kotflugel'],
		['2. cover', 'cover'],
		['前叉', 'panel-1'],
		['  Side -- cover!  ', 'side-cover'],
	])('and a panel called %j is %s', async (panel, id) => {
		for (const hand of ['pair', 'left', 'right'] as const)
			expect((await begun({ ...ANSWERS, panel, hand })).job.panels[0]).toMatchObject({ id, hand })
	})

	test('from a table', async () => {
		const csv = 'mark,station,left,right\nu1,0,41,41.5\nu2,120,"46,5",46\n'
		const { job } = await begun({ from: 'table', csv, name: 'my-mudguard', unit: 'mm' })
		expect(job.title).toBe('My mudguard')
		expect(job.panels[0]?.readings).toHaveLength(4)
	})
})

describe('a job does not begin', () => {
	test('from a table that cannot be read: each row is named, and nothing is written', async () => {
		const site = await siteOf(folderOf({}))
		const reply = await site.post('/api/jobs', {
			from: 'table',
			csv: 'mark,station,left\nu1,0,4x\nu2,,3\n',
			name: 'x',
			unit: 'mm',
		})
		expect(reply.status).toBe(422)
		expect(await reply.text()).toMatch(/line 2[\s\S]*line 3/)
		expect(readdirSync(site.folder)).toEqual([])
	})

	test('where something of that name is, whatever it is, and it is left as it is', async () => {
		const site = await siteOf(folderOf({ 'guard/job.jsonc': JOB, 'photos/1.jpg': 'x' }))
		writeFileSync(join(site.folder, 'notes'), 'mine')
		for (const name of ['guard', 'photos', 'notes']) {
			const reply = await site.post('/api/jobs', { ...ANSWERS, name })
			expect([name, reply.status]).toEqual([name, 409])
			expect(await reply.text()).toContain('another name')
		}
		expect(readFileSync(join(site.folder, 'guard', 'job.jsonc'), 'utf8')).toBe(JOB)
		expect(readdirSync(join(site.folder, 'photos'))).toEqual(['1.jpg'])
		expect((await site.json<JobEntry[]>('/api/jobs')).map(({ name }) => name)).toEqual(['guard'])
	})

	test('twice at the same moment', async () => {
		const site = await siteOf(folderOf({}))
		const replies = await Promise.all(Array.from({ length: 6 }, () => site.post('/api/jobs', ANSWERS)))
		expect(replies.map(({ status }) => status).toSorted()).toEqual([201, 409, 409, 409, 409, 409])
		expect(readdirSync(site.folder)).toEqual([ANSWERS.name])
	})

	test('of half an answer', async () => {
		const site = await siteOf(folderOf({}))
		const halves: unknown[] = [
			null,
			[],
			{},
			{ from: 'air', name: 'x' },
			{ ...ANSWERS, hand: 'up' },
			{ ...ANSWERS, hook: ' ' },
			{ ...ANSWERS, more: 1 },
		]
		for (const half of halves) expect([half, (await site.post('/api/jobs', half)).status]).toEqual([half, 400])
	})
})

test('which jobs a folder has: those of its folders, and job files beside them; not the shop, nor what is hidden', async () => {
	const site = await siteOf(
		folderOf({
			...{ 'guard/job.jsonc': JOB, 'old/job.json': JOB.replace(/\/\/.*/, ''), 'loose.jsonc': JOB, 'shop.jsonc': '{"format": 1}' },
			...{ '.hidden/job.jsonc': JOB, '.hidden.jsonc': JOB, 'notes.json': '{}', 'out/sheets.pdf': 'x', 'loose.jsonc~': JOB },
			...{ 'bent/job.jsonc': '{ "title": "Bent", "format": 1,\n', 'bare/job.jsonc': 'no job' },
		}),
	)
	expect(await site.json<JobEntry[]>('/api/jobs')).toEqual([
		{ name: 'bare', title: 'bare', broken: true },
		{ name: 'bent', title: 'Bent', broken: true },
		{ name: 'guard', title: 'A guard', broken: false },
		{ name: 'loose.jsonc', title: 'A guard', broken: false },
		{ name: 'old', title: 'A guard', broken: false },
	])
	// what does not load opens as text
	expect((await site.json<StoredText>('/api/jobs/bent')).text).toBe('{ "title": "Bent", "format": 1,\n')
	const alone = await siteOf(join(site.folder, 'guard'))
	expect(await alone.json<JobEntry[]>('/api/jobs')).toEqual([{ name: 'job.jsonc', title: 'A guard', broken: false }])
})
