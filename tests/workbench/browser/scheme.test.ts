// The card's lines in a browser: a band dragged and taken back, and a job that has only been begun.
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'jsonc-parser'
import type { Page } from 'playwright-core'
import { expect, test, vi } from 'vitest'
import { axeOf, jobsFolder, look, served } from './browser.ts'

const textOf = (folder: string, name: string) => readFileSync(join(folder, name, 'job.jsonc'), 'utf8')
const panelOf = (folder: string, name: string) => parse(textOf(folder, name), [], { allowTrailingComma: true }).panels[0]

/** The places down the middle of the picture at which an edge of a band can be taken hold of, px. */
const grips = (page: Page): Promise<{ readonly x: number; readonly ys: readonly number[] }> =>
	page.locator('.picture').evaluate((picture) => {
		const { left, top, width, height } = picture.getBoundingClientRect()
		const x = left + width / 2
		const held = (clientY: number) => {
			picture.dispatchEvent(new PointerEvent('pointermove', { clientX: x, clientY, pointerType: 'mouse', bubbles: true }))
			return (picture as HTMLElement).style.cursor === 'ns-resize'
		}
		return { x, ys: Array.from({ length: Math.floor(height) }, (_, y) => top + y).filter(held) }
	})

test('an edge of a band is dragged in the picture and follows, its figure shown, and one step back undoes the drag', async () => {
	const folder = jobsFolder('fixtures/tarn-350')
	const { page, complaints } = await look(await served(folder))
	const width = () => panelOf(folder, 'tarn-350').stripes[0].bands[4].width as number
	const before = textOf(folder, 'tarn-350')
	expect(width()).toBe(3)
	await page.getByRole('button', { name: /^4?\s*Scheme/ }).click()
	await page.getByRole('button', { name: /^shoulder stripe/ }).click()
	const { x, ys } = await vi.waitFor(
		async () => {
			const found = await grips(page)
			expect(found.ys.length).toBeGreaterThan(0)
			return found
		},
		{ timeout: 20_000, interval: 100 },
	)
	// as far below the lowest edge as a mouse reaches
	const lowest = ys.at(-1)!
	await page.mouse.move(x, lowest)
	await page.mouse.down()
	for (const by of [3, 9, 16, 24]) await page.mouse.move(x, lowest + by)
	const figure = await page.locator('.drag-figure').textContent()
	await page.mouse.up()
	expect(await page.locator('.drag-figure').count()).toBe(0)
	await page.getByText('Everything is saved').waitFor()
	await vi.waitFor(() => expect(width()).toBeGreaterThan(3), { timeout: 5000 })
	// as the picture said, to half millimetres
	expect(figure).toBe(`width ${width().toFixed(1)} mm`)
	expect((width() * 2) % 1).toBe(0)
	expect(await page.getByLabel('band 5, Width').inputValue()).toBe(String(width()))
	// the edge lies where the pointer let go of it: as many pixels lower, to half a step (under a pixel) and a pixel of each scan
	await vi.waitFor(async () => expect(Math.abs((await grips(page)).ys.at(-1)! - lowest - 24)).toBeLessThan(3), {
		timeout: 20_000,
		interval: 100,
	})

	await page.getByRole('button', { name: 'Undo' }).click()
	expect(await page.getByRole('button', { name: 'Undo' }).isDisabled()).toBe(true)
	await vi.waitFor(() => expect(textOf(folder, 'tarn-350')).toBe(before), { timeout: 5000 })

	// a line through a mark that was never measured: what is wrong is said, and the panel stays in sight
	await page.getByRole('button', { name: /^shoulder line/ }).click()
	await page.getByLabel('mark 2, Mark').fill('nowhere')
	await page.keyboard.press('Tab')
	await page.locator('.problems .error', { hasText: 'nowhere' }).waitFor()
	expect(await page.locator('.stale-note').textContent()).toBe('as it was before the last figures')
	expect(await page.locator('.first-picture').count()).toBe(0)
	expect(complaints).toEqual([])
	expect(await axeOf(page)).toEqual([])
}, 90_000)

test('a job that has only been begun asks which panel, which way is front and where the tape is hooked', async () => {
	const folder = jobsFolder()
	const { page, complaints } = await look(await served(folder))
	const answers = {
		from: 'answers',
		title: 'My roadster',
		panel: 'Fuel tank',
		hand: 'centre',
		hook: 'seam',
		unit: 'mm',
		name: 'mine',
	}
	await page.evaluate(async (asked) => {
		await fetch('/api/jobs', { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(asked) })
		location.hash = '#mine'
	}, answers)
	await page.getByText('Three things come first').waitFor()
	await page.getByLabel('Which panel is it?').fill('Front mudguard')
	await page.getByRole('radio', { name: 'one panel, on the right' }).check()
	expect(await page.getByRole('img', { name: /right panel seen from outside: front is to the right/ }).count()).toBe(1)
	await page.getByLabel('Where will you hook the tape?').fill('front bolt hole')
	await vi.waitFor(
		() =>
			expect(panelOf(folder, 'mine')).toMatchObject({
				...{ title: 'Front mudguard', hand: 'right' },
				datums: [{ id: 'hook', what: 'front bolt hole', station: 0 }],
			}),
		{ timeout: 5000 },
	)
	// a second datum is written into the last row of the table, keys alone
	await page.getByLabel('new datum, Name').focus()
	await page.keyboard.type('rear-bolt')
	await page.keyboard.press('Tab')
	await page.keyboard.press('Tab')
	await page.keyboard.type('410')
	await vi.waitFor(() => expect(panelOf(folder, 'mine').datums[1]).toEqual({ id: 'rear-bolt', station: 410 }), { timeout: 5000 })
	expect(textOf(folder, 'mine')).toContain('// Places that outlive the stripping')
	expect(complaints).toEqual([])
	expect(await axeOf(page)).toEqual([])
}, 60_000)
