// What the page says it edits it has a field for, on a line of the card: every place of a job that holds as much as a job can.
import { mkdirSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parse } from 'jsonc-parser'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { loadJob } from '../../../src/job/load.ts'
import { EDITED } from '../../../src/workbench/edited.ts'
import { axeOf, look, served } from './browser.ts'

const square = (mark: string, station: number, side: string) => ({
	...{ kind: 'square', mark, station, girth: 40, side, with: 'tape', sd: 0.5, squared: 'by-eye', note: 'dry' },
})
const profile = { points: [[0, 0], [20, 2], [40, 9]], half: true, sd: 0.4 } // biome-ignore format: a table
const begun = { hand: 'left', datums: [{ id: 'nose', station: 0 }] }
const section = (along: number) => ({ along, drop: 1, half: true, creases: [20], points: profile.points })

/** One panel with every list filled, and one of each other kind of shape. */
const JOB = {
	...{ format: 1, title: 'Everything', notes: 'all of it', unit: 'mm', limits: { shape: 0.3, gap: 0.5, mark: 1 } },
	paints: [{ id: 'gold', name: 'Gold', colour: '#c9a227' }],
	artwork: [
		{ id: 'plate', title: 'plate', margin: 1, tolerance: 0.02, lettering: false, shape: { kind: 'rectangle', width: 40, height: 20, corner: 2, colour: '#b03020' } },
		{ id: 'disc', shape: { kind: 'ellipse', width: 20, height: 20 } },
		{ id: 'wing', shape: { kind: 'traced', points: [[0, 0], { at: [30, 0], corner: true }, [15, 20]] } },
		{ id: 'badge', shape: { kind: 'drawing', file: 'badge.svg', width: 30 } },
		{ id: 'word', shape: { kind: 'lettering', text: 'ABC', font: 'plain', height: 10, spacing: 0, register: false, arc: { radius: 100, inside: true } } },
	],
	panels: [
		{
			...{ id: 'lid', title: 'Lid', hand: 'centre', notes: 'dented', strips: { stations: [50, 100], every: 60 } },
			found: { kind: 'flat', length: 400, width: 150, front: -10, bend: { radius: 900, towards: 'left' } },
			datums: [
				{ id: 'nose', what: 'seam', station: 0 },
				{ id: 'tail', station: 380, girth: 0, side: 'right' },
			],
			baseline: { from: 'nose', to: 'tail', interruptions: [{ from: 100, to: 120, what: 'badge', width: 30 }] },
			outline: { mirrored: true, points: [{ station: -10, girth: 0 }, { station: -10, girth: 150, side: 'right', smooth: true }, { station: 390, girth: 150, side: 'right' }, { station: 390, girth: 0 }] },
			holes: [{ id: 'filler', what: 'filler', station: 200, girth: 0, diameter: 60 }],
			patches: [{ id: 'knee', what: 'knee', outline: ['right/a', 'right/b', { station: 200, girth: 90, side: 'right', smooth: true }], hand: 'mirrored', painted: false, note: 'rubber' }],
			readings: [
				...[0, 100, 200, 300].flatMap((station, i) => ['left', 'right'].map((side) => square('abcd'[i]!, station + 20, side))),
				{ kind: 'tape', from: 'left/a', to: 'left/b', length: 100, pull: 'pressed' },
			],
			prepared: { datums: [{ id: 'tail', station: 381, girth: 0 }], readings: [{ kind: 'tape', from: 'nose', to: 'tail', length: 381 }], carry: 'shift', note: 'filler' },
			edges: [{ id: 'line', what: 'coach', through: ['a', { mark: 'b', by: 'smooth', tolerance: 1 }, 'c', 'd'], hand: 'mirrored', sides: 'mean', front: 'at-mark', rear: 'runs-off', evidence: 'original', note: 'x' }, { id: 'upper', through: ['right/a', 'right/b'], hand: 'right' }],
			stripes: [
				{ id: 'coach', what: 'coach line', edge: 'line', lay: 'outboard', offset: 1, bands: [{ paint: 'gold', width: 3 }, { gap: 2 }, { paint: 'gold', width: [{ along: 0, width: 3 }, { along: 90, width: 5 }] }], front: { shape: 'raked', angleDeg: 60 }, rear: { shape: 'pointed', length: 30 }, corners: 'mitred', over: ['other'] },
				{ id: 'other', edge: 'line', lay: 'inboard', offset: 20, bands: [{ paint: 'gold', width: 3 }], front: { shape: 'pointed', length: 30 }, rear: { shape: 'raked', angleDeg: 60 } },
			],
			fields: [{ id: 'body', what: 'body', paint: 'gold', between: ['outline'], seed: { station: 100, girth: 0, side: 'right' }, hand: 'across', note: 'y' }],
			decals: [
				{ id: 'one', what: 'plate', artwork: 'plate', place: { kind: 'spot', station: 200, girth: 10, side: 'right', point: 'top-left', angle: 3, sd: 1, sdDeg: 1 }, hand: 'across', material: 'cast-film', frame: 'corners', reverse: true, clearance: 1, over: ['body'], note: 'z' },
				{ id: 'two', artwork: 'wing', place: { kind: 'marks', marks: [{ mark: 'a', point: 'front' }, { mark: 'b', point: [10, 0] }] }, hand: 'mirrored', turn: 'reflects', faces: 'right', material: 'paint', paint: 'gold' },
				{ id: 'three', artwork: 'disc', place: { kind: 'between', edges: ['line', 'upper'], station: 100 } },
				{ id: 'four', artwork: 'disc', place: { kind: 'off', edge: 'line', distance: 20, lay: 'outboard', station: 100, point: [0, 5], angle: 'level' } },
				{ id: 'five', artwork: 'plate', place: { kind: 'follow', edge: 'line', distance: 20, lay: 'outboard', station: 200 } },
			],
			seams: [{ with: 'tank', what: 'shut line', datums: [['nose', 'nose'], ['tail', 'tail']], lines: [], gap: 2, tie: { keeps: 'lid', over: 80 }, proud: { panel: 'lid', by: 1 } }],
		},
		{
			...{ id: 'tank', hand: 'centre', datums: [{ id: 'nose', station: 0 }, { id: 'tail', station: 200 }] },
			found: {
				...{ kind: 'sections', sd: 0.4, front: 0, crown: { points: [[0, 0], [100, 3], [200, 9]], sd: 0.4 } },
				...{ sections: [0, 100, 200].map(section), baseline: { from: { along: 0, across: 0 }, to: { along: 200, across: 0 } } },
			},
		},
		{
			...{ id: 'cheek', ...begun },
			found: { kind: 'sections', sections: [section(0), section(100), { along: 200, creases: [20], left: profile.points, right: profile.points }, { along: 300, creases: [20], traced: 'M -40 9 L -20 2 L 0 0 L 20 2 L 40 9' }] },
		},
		{ ...{ id: 'chain', ...begun }, found: { kind: 'rolled', round: { profile, baseline: 'along-axis' }, length: 300, front: 0 } },
		{ ...{ id: 'tube', ...begun }, found: { kind: 'rolled', round: { profile: { radius: 40, arc: 60 }, baseline: 'along-axis' }, length: 300 } },
		{ ...{ id: 'cowl', ...begun }, found: { kind: 'rolled', round: { profile: { straight: 80, slopeDeg: 5 }, baseline: 'along-axis' }, length: 300 } },
		{ ...{ id: 'lamp', ...begun }, found: { kind: 'rolled', round: { cone: { frontDiameter: 20, rearDiameter: 150, slant: 120 } } } },
		{ ...{ id: 'guard', ...begun }, found: { kind: 'revolved', crown: { radius: 300 }, profile, length: 300 } },
		{ ...{ id: 'rear', ...begun }, found: { kind: 'revolved', crown: { chord: 240, rise: 22 }, profile: { radius: 60, arc: 90 }, length: 300 } },
		{ ...{ id: 'hoop', ...begun }, found: { kind: 'revolved', crown: { radius: 300 }, profile: { straight: 60, slopeDeg: 4 }, length: 300 } },
		{ ...{ id: 'flank', ...begun }, found: { kind: 'taped', stations: [0, 60, 120], squared: 'by-eye', laid: [{ girth: 0, lengths: [60, 60] }, { girth: 40, side: 'above', from: 0, to: 60, length: 61 }, { girth: 40, from: 60, lengths: [61] }], tapes: [{ from: { station: 0, girth: 0 }, to: { station: 60, girth: 40, side: 'above' }, length: 73 }], sd: 0.5, front: 0, length: 120 } },
		{ ...{ id: 'side', hand: 'pair', datums: [{ id: 'nose', station: 0, panel: 'left' }] }, found: { kind: 'scan', file: 'side.stl', unit: 'mm', symmetry: 'shape', noise: 0.2, stations: [0, 50, 100], front: 0, datums: ['p', 'q', 'r'].map((id, i) => ({ id, what: 'hole', scan: [i, i * i, 0], vehicle: [i, i * i, 0] })) }, readings: [{ kind: 'square', mark: 'z', station: 5, girth: 5, panel: 'left' }] },
	],
} // biome-ignore format: a table

/** Ledgers have cells of their own, which other tests type into; a line and a step are signed off by a button, and another begins each kind of artwork. */
const ELSEWHERE =
	/^artwork\/\*\/shape\/kind$|^(signed\/\*|paintwork\/done\/\*|panels\/\*\/(proof|checks|painted)\/\*)\/|^panels\/\*\/readings\/\*\/(kind|mark|edge|from|to|lines?|station|girth|side|length|distance|width)$/
/** What one cell stands for, where an entry is written in several forms. */
const FORMS: Readonly<Record<string, readonly string[]>> = {
	'panels/*/stripes/*/bands/*/what': ['paint', 'gap'],
	'panels/*/edges/*/through/*/how': ['by', 'corner'],
}

const patternOf = (at: string) => at.replace(/(^|\/)\d+(?=\/|$)/g, '$1*')

test('every place that is said to be edited has a field', async () => {
	const text = JSON.stringify(JOB, null, '\t')
	const { value, problems } = loadJob(text)
	expect(value, JSON.stringify(problems)).toBeDefined()
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-keys-'))
	mkdirSync(join(folder, 'all'))
	const file = join(folder, 'all', 'job.jsonc')
	writeFileSync(file, text)
	const { page } = await look(await served(folder))
	const seen = new Set<string>()
	const gather = async () => {
		// one opened may hold another
		const closed = page.locator('details:not([open]) > summary:visible')
		for (let left = 60; left > 0 && (await closed.count()) > 0; left--) await closed.first().click()
		for (const at of await page.locator('[data-at]').evaluateAll((all) => all.map((one) => one.getAttribute('data-at') ?? ''))) {
			const place = patternOf(at)
			seen.add(place)
			for (const key of FORMS[place] ?? []) seen.add(place.replace(/[^/]+$/, key))
		}
	}
	await page.locator('.which-panel select').waitFor()
	await gather()
	for (const { id } of JOB.panels) {
		await page.locator('.which-panel select').selectOption(id)
		const lines = ['The panel', 'Measure', 'Shape', 'Scheme', ...(id === 'lid' ? ['Decals', 'Tape', 'Paint'] : [])]
		for (const line of lines) await through(page, line, gather)
	}
	// each list, however its entries are written, is edited as a whole: a cell of several lengths, readings across and down
	const has = (place: string) => seen.has(place) || [...seen].some((one) => one.startsWith(`${place}/`))
	expect([...EDITED].filter((place) => !ELSEWHERE.test(place) && !has(place))).toEqual([])
	// opening everything has changed nothing
	expect(readFileSync(file, 'utf8')).toBe(text)
	expect(await axeOf(page)).toEqual([])
}, 240_000)

/** A line of the card with each of its things opened in turn. */
async function through(page: Page, line: string, gather: () => Promise<void>): Promise<void> {
	await page.locator('.line-head', { has: page.getByText(line, { exact: true }) }).click()
	await gather()
	for (const row of [0, 8]) {
		const cell = page.locator(`.measure [data-row="${row}"][data-column="reading"]`)
		if (line === 'Measure' && (await cell.count()) > 0) {
			await cell.focus()
			await gather()
		}
	}
	const radios = page.locator('.which-section input')
	for (let i = 0; i < (await radios.count()); i++) {
		await radios.nth(i).check()
		await gather()
	}
	const heads = page.locator('.block-head')
	for (let i = 0; i < (await heads.count()); i++) {
		if ((await heads.nth(i).getAttribute('aria-expanded')) === 'false') await heads.nth(i).click()
		await gather()
	}
}

const AFTER = '[{ "paint": "gold", "after": ["ivory", "green"] }]'

test('what no line edits is listed, and changed as it is written in the file', async () => {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-listed-'))
	mkdirSync(join(folder, 'all'))
	const file = join(folder, 'all', 'job.jsonc')
	// what must be on before a paint
	const others = ['ivory', 'green'].map((id) => ({ id, name: id, colour: '#336655' }))
	const { panels, ...rest } = JOB
	const job = {
		...{ ...rest, paints: [...JOB.paints, ...others], paintwork: { after: [{ paint: 'gold', after: ['ivory'] }] } },
		panels: panels.slice(0, 2),
	}
	writeFileSync(file, JSON.stringify(job, null, '\t').replace('"paint"', '// as its sheet says\n"paint"'))
	const { page, complaints } = await look(await served(folder))
	await page.locator('.the-job > summary').click()
	await page.getByLabel('Name of the job').fill('Everything, again')
	await page.getByLabel('Notes').fill('two lines\nof notes')
	await page.getByLabel('A piece may be out of shape by').fill('0,4')
	await page.locator('.all-not-yet summary', { hasText: 'paintwork, after' }).click()
	const written = page.getByLabel('paintwork, after')
	expect(await written.inputValue()).toMatch(/^\[\n.*as its sheet says\n/s)
	await written.fill('[{ "paint": "gold", // more')
	await written.blur()
	await page.locator('.why', { hasText: 'cannot be read like that' }).waitFor()
	await written.fill(`${AFTER} `)
	await written.blur()
	await page.locator('.why').waitFor({ state: 'detached' })
	await page.getByText('Everything is saved').waitFor()
	const until = async (holds: () => boolean) => {
		while (!holds()) await new Promise((done) => setTimeout(done, 20))
	}
	await until(() => readFileSync(file, 'utf8').includes(`"after": ${AFTER}`))
	expect(parse(readFileSync(file, 'utf8'))).toMatchObject({
		...{ title: 'Everything, again', notes: 'two lines\nof notes', limits: { shape: 0.4, gap: 0.5, mark: 1 } },
		paintwork: { after: [{ paint: 'gold', after: ['ivory', 'green'] }] },
	})
	expect(await axeOf(page)).toEqual([])
	expect(complaints).toEqual([])
}, 60_000)
