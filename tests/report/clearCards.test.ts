/** Clear, decals and small mixes on paper and in result.json, against the plan's own steps and sessions. */
import { beforeAll, expect, test } from 'vitest'
import type { Drawing } from '../../src/drawing/drawing.ts'
import { flatten } from '../../src/drawing/place.ts'
import { decalGrounds } from '../../src/engine/decalGround.ts'
import { clearStepsOf, clearWords } from '../../src/report/clearWords.ts'
import { paintworkFiles } from '../../src/report/paintworkFiles.ts'
import { resultData } from '../../src/report/resultJson.ts'
import { resultSchema } from '../../src/report/resultSchema.ts'
import { shoppingItems } from '../../src/report/shoppingList.ts'
import { findPaper, type Paper } from '../../src/sheet/paper.ts'
import { demoPrint } from './demoPaintwork.ts'

const margins = { left: 10, right: 10, top: 10, bottom: 10 }
let print: ReturnType<typeof demoPrint>
let pages: ReadonlyMap<string, readonly Drawing[]>
const wordsOf = (name: string) =>
	(pages.get(name) ?? []).flatMap(({ items }) => flatten(items).flatMap(({ item }) => (item.kind === 'text' ? [item.text] : [])))

beforeAll(() => {
	print = demoPrint('mm', (job) => ({
		...job,
		panels: job.panels.map((panel, i) => {
			// Decals that nobody has placed yet: all ridges of the panel may lie below them.
			const { decals: _, ...bare } = panel
			return i === 0 ? { ...bare, clear: { decals: 'under' } } : panel
		}),
	}))
	const files = paintworkFiles(print, findPaper('A4').value as Paper, margins)
	pages = new Map(files.flatMap((file) => (file.kind === 'pdf' ? [[file.name, file.drawings] as const] : [])))
})

test('one card for each panel has all of its steps after the last colour', () => {
	const steps = clearStepsOf(print)
	expect(steps.map(({ kind }) => kind)).toEqual(expect.arrayContaining(['ridges', 'decals', 'clear', 'rub']))
	const said = wordsOf('stage-cards.pdf').join(' ')
	for (const step of steps) expect(said).toContain(clearWords(print, step).sentence)
	for (const panel of new Set(steps.map((step) => step.panel))) {
		const title = print.result.panels.find(({ id }) => id === panel)?.title
		const own = pages.get('stage-cards.pdf')?.filter((page) => page.title?.startsWith(`Stage card: ${title}, clear`))
		expect(own?.length).toBeGreaterThan(0)
	}
})

test('only what lies below a decal is flatted for it', () => {
	// The demo's badge and wing lie on one colour each: nothing below them has an edge.
	const placed = clearStepsOf(demoPrint('mm'))
	expect(placed.filter(({ kind }) => kind === 'decals').length).toBeGreaterThan(0)
	expect(placed.filter(({ kind }) => kind === 'ridges')).toEqual([])
	// 8 mm farther out the badge lies over the outer edge of the ivory band, and over it alone.
	const moved = demoPrint('mm', (job) => ({
		...job,
		panels: job.panels.map((panel, i) =>
			i === 0
				? {
						...panel,
						decals: panel.decals?.map((decal) => ({ ...decal, place: { ...decal.place, distance: 25 } as typeof decal.place })),
					}
				: panel,
		),
	}))
	const [step] = clearStepsOf(moved).filter(({ kind }) => kind === 'ridges')
	const ground = decalGrounds(moved.result.panels, moved.paintwork).grounds.filter(({ panel }) => panel === 'tank')
	const below = ground.flatMap(({ ridges }) => ridges).reduce((sum, { lengthMm }) => sum + lengthMm, 0)
	const all = moved.paintwork.panels.find(({ id }) => id === 'tank')?.ridges.reduce((sum, { lengthMm }) => sum + lengthMm, 0) ?? 0
	expect(step?.kind === 'ridges' && step.lengthMm).toBeCloseTo(below, 6)
	expect(below).toBeGreaterThan(50)
	expect(below).toBeLessThan(all / 10)
})

test('the job sheet has every session of the plan, the colours and what comes after them', () => {
	const said = wordsOf('job-sheet.pdf')
	for (const { number } of print.paintwork.sessions) {
		expect(said.filter((text) => text.startsWith(`Session ${number}: `))).toHaveLength(1)
	}
})

test('a mix that is too small is told of on the schedule, on the list and in result.json', () => {
	const small = print.paintwork.sessions.filter(({ quantity }) => quantity && quantity.ml < 50)
	expect(small.length).toBeGreaterThan(0)
	expect(print.paintwork.smallMixes.map(({ session }) => session)).toEqual(small.map(({ number }) => number))
	const said = wordsOf('paint-schedule.pdf').join(' ')
	for (const { number } of small) expect(said).toContain(`Session ${number}: mix at least 50 ml`)
	const names = new Set(small.map(({ system }) => system?.name))
	for (const { what, group, buy } of shoppingItems(print)) {
		if (group === 'paint') expect(buy !== undefined).toBe(names.has(what))
	}
	const data = resultData({ ...print.result, paintwork: print.paintwork }, { version: '0.0.0', files: [], problems: [] })
	expect(resultSchema.safeParse(data).error).toBeUndefined()
	const told = data.paintwork?.sessions.flatMap(({ number, mixAtLeastMl }) => (mixAtLeastMl === 50 ? [number] : []))
	expect(told).toEqual(small.map(({ number }) => number))
})
