// Decals in a browser: artwork that is dropped, what is refused, a decal by keys alone, and one that a finger drags.
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'jsonc-parser'
import type { Page } from 'playwright-core'
import { expect, test, vi } from 'vitest'
import { axeOf, jobsFolder, look, served, smallTargets } from './browser.ts'

const NAME = 'tarn-350'
const fileOf = (folder: string) => join(folder, NAME, 'job.jsonc')
const jobOf = (folder: string) => parse(readFileSync(fileOf(folder), 'utf8'), [], { allowTrailingComma: true })
const SLOW = { timeout: 60_000, interval: 100 }

const PLATE = { id: 'plate', title: 'plate', shape: { kind: 'rectangle', width: 60, height: 25, colour: '#b03020' } }

/** The demo with one artwork, and decals on its tank. */
function folderWith(decals: readonly object[] = [], artwork: readonly object[] = [PLATE]): string {
	const folder = jobsFolder(`fixtures/${NAME}`)
	const job = jobOf(folder)
	const [tank, ...others] = job.panels
	const panels = [{ ...tank, decals }, ...others.map(({ decals: _, ...panel }: { readonly decals?: unknown }) => panel)]
	writeFileSync(fileOf(folder), JSON.stringify({ ...job, artwork, panels }, null, '\t'))
	return folder
}

async function decals(folder: string, size: 'desk' | 'touch') {
	const looked = await look(await served(folder), { size })
	await drawn(looked.page)
	await looked.page.locator('.line-head', { has: looked.page.getByText('Decals', { exact: true }) }).click()
	return looked
}
const drawn = (page: Page) => page.waitForFunction(() => (document.querySelector('canvas')?.dataset.drawn ?? '') !== '')

const svg = (inside: string, attributes = 'width="40mm" height="20mm" viewBox="0 0 40 20"') =>
	`<svg xmlns="http://www.w3.org/2000/svg" ${attributes}>${inside}</svg>`
const BOX = '<path d="M2 2h30v10h-30z" fill="#123456"/>'

/** A file let fall on the place for drawings. */
async function drop(page: Page, name: string, text: string): Promise<void> {
	const data = await page.evaluateHandle(
		([called, content]) => {
			const transfer = new DataTransfer()
			transfer.items.add(new File([content as string], called as string, { type: 'image/svg+xml' }))
			return transfer
		},
		[name, text],
	)
	await page.locator('.drop').dispatchEvent('drop', { dataTransfer: data })
}

const HOSTILE: readonly (readonly [name: string, text: string, says: RegExp])[] = [
	['script.svg', svg(`${BOX}<script>window.attacked = 1; fetch('http://attacker.invalid/a')</script>`), /script/],
	['onload.svg', svg(BOX, 'width="40mm" height="20mm" viewBox="0 0 40 20" onload="window.attacked = 1"'), /onload/],
	['elsewhere.svg', svg(`${BOX}<use href="http://attacker.invalid/a.svg#x"/>`), /attacker\.invalid|outside|href/],
	['picture.svg', svg(`${BOX}<image href="http://attacker.invalid/a.png" width="9" height="9"/>`), /image|picture/],
	[
		'bomb.svg',
		`<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa">${Array.from({ length: 9 }, (_, i) => `<!ENTITY ${'bcdefghij'[i]} "${`&${'abcdefghi'[i]};`.repeat(10)}">`).join('')}]>${svg(`${BOX}<text>&j;</text>`)}`,
		/DOCTYPE|entit/i,
	],
	[
		'page.svg',
		svg(`${BOX}<foreignObject><iframe xmlns="http://www.w3.org/1999/xhtml" src="http://attacker.invalid/"/></foreignObject>`),
		/foreignObject/,
	],
]

test('a drawing that is an attack is refused in words, nothing of it runs or is asked for, and it is not put beside the job', async () => {
	const folder = folderWith([], [])
	const { page, complaints } = await decals(folder, 'desk')
	const before = readFileSync(fileOf(folder), 'utf8')
	for (const [name, text, says] of HOSTILE) {
		await drop(page, name, text)
		await page.getByText(`${name} is not taken`).waitFor(SLOW)
		expect(await page.locator('.decals-line > .problems[role="alert"]').textContent(), name).toMatch(says)
		expect(existsSync(join(folder, NAME, name)), name).toBe(false)
	}
	expect(await page.evaluate(() => (window as { attacked?: unknown }).attacked)).toBeUndefined()
	expect(readFileSync(fileOf(folder), 'utf8')).toBe(before)
	await drop(page, 'notes.txt', 'hello')
	await page.getByText('notes.txt is no SVG drawing').waitFor()
	// what the page asked of other places, and what the browser complained of
	expect(complaints).toEqual([])
	expect(await axeOf(page)).toEqual([])
}, 120_000)

test('a drawing without a real size asks for a known one, and is written in with it', async () => {
	const folder = folderWith([], [])
	const { page, complaints } = await decals(folder, 'desk')
	await drop(page, 'maker-badge.svg', svg(BOX, 'viewBox="0 0 40 20"'))
	await page.getByText('does not say its real size').waitFor(SLOW)
	expect(await axeOf(page)).toEqual([])
	await page.getByLabel('All that is printed, mm').fill('90')
	await page.keyboard.press('Enter')
	await vi.waitFor(
		() =>
			expect(jobOf(folder).artwork).toEqual([
				{ id: 'maker-badge', title: 'maker badge', shape: { kind: 'drawing', file: 'maker-badge.svg', width: 90 } },
			]),
		SLOW,
	)
	expect(readFileSync(join(folder, NAME, 'maker-badge.svg'), 'utf8')).toContain('viewBox')
	// 30 by 10 in the drawing
	await page.getByText('90.0 mm wide, 30.0 mm high', { exact: false }).first().waitFor(SLOW)
	// never over a file that is there
	await drop(page, 'maker-badge.svg', svg(BOX))
	await page.getByText('Another file called maker-badge.svg is beside the job already').waitFor(SLOW)
	expect(jobOf(folder).artwork).toHaveLength(1)
	expect(readFileSync(join(folder, NAME, 'maker-badge.svg'), 'utf8')).not.toContain('40mm')
	// the browser notes the server's answer that the name is taken
	expect(complaints).toEqual([expect.stringMatching(/409 .*maker-badge\.svg/)])
}, 120_000)

/** Tab until what has the focus is called so. */
async function tabTo(page: Page, name: RegExp | string, key = 'Tab'): Promise<void> {
	for (let i = 0; i < 150; i++) {
		await page.keyboard.press(key)
		const own = await page.evaluate(() => {
			const at = document.activeElement as HTMLInputElement | null
			return at?.getAttribute('aria-label') ?? (at?.labels?.[0]?.textContent || at?.textContent) ?? ''
		})
		if (typeof name === 'string' ? own.trim() === name : name.test(own)) return
	}
	throw new Error(`nothing called ${name} was come to`)
}

test('a decal is added, placed, moved and turned by keys alone, and taken back', async () => {
	const folder = folderWith([], [])
	const before = readFileSync(fileOf(folder), 'utf8')
	const { page, complaints } = await look(await served(folder))
	await drawn(page)
	const own = () => jobOf(folder).panels[0].decals?.[0]
	await tabTo(page, /^Decals/)
	await page.keyboard.press('Enter')
	await tabTo(page, 'Add a rectangle')
	await page.keyboard.press('Enter')
	await vi.waitFor(() => expect(jobOf(folder).artwork?.[0]?.shape.kind).toBe('rectangle'), SLOW)
	await tabTo(page, 'Lay a decal')
	await page.keyboard.press('Enter')
	await vi.waitFor(() => expect(own()?.place.kind).toBe('spot'), SLOW)
	await tabTo(page, 'Station', 'Shift+Tab')
	await page.keyboard.press('Control+A')
	await page.keyboard.type('150')
	await tabTo(page, 'Girth')
	await page.keyboard.press('Control+A')
	await page.keyboard.type('50')
	await vi.waitFor(() => expect(own()?.place).toMatchObject({ station: 150, girth: 50 }), SLOW)
	await tabTo(page, /^Move it by the arrow keys/)
	await vi.waitFor(
		async () => {
			await page.keyboard.press('ArrowRight')
			await vi.waitFor(() => expect(own()?.place.station).toBeGreaterThan(150), { timeout: 1500 })
		},
		{ ...SLOW },
	)
	const moved = own().place.station
	expect((2 * moved) % 1).toBe(0)
	await page.keyboard.press('.')
	await vi.waitFor(() => expect(own()?.place.angle).toBe(0.5), SLOW)
	// what the keys did one after another is one step
	await page.keyboard.press('Control+z')
	await vi.waitFor(() => expect(own()?.place).toEqual({ kind: 'spot', station: 150, girth: 50 }), SLOW)
	while (await page.getByRole('button', { name: 'Undo' }).isEnabled()) await page.keyboard.press('Control+z')
	await vi.waitFor(() => expect(readFileSync(fileOf(folder), 'utf8')).toBe(before), SLOW)
	expect(complaints).toEqual([])
	expect(await axeOf(page)).toEqual([])
}, 180_000)

/** Where the picture shows a decal, px: between the ends of what has its colour on the lower half of the canvas. */
const middleOf = (page: Page, [r, g, b]: readonly [number, number, number]) =>
	page.locator('.picture canvas').evaluate(
		(element, colour) => {
			const canvas = element as HTMLCanvasElement
			const { width, height } = canvas
			const copy = new OffscreenCanvas(width, height).getContext('2d', {
				willReadFrequently: true,
			}) as OffscreenCanvasRenderingContext2D
			copy.drawImage(canvas, 0, 0)
			const { data } = copy.getImageData(0, 0, width, height)
			const box = canvas.getBoundingClientRect()
			const [xs, ys]: [number[], number[]] = [[], []]
			for (let y = Math.floor(height / 2); y < height; y++)
				for (let x = 0; x < width; x++) {
					const k = 4 * (y * width + x)
					if (!colour.every((c, i) => Math.abs((data[k + i] as number) - c) < 3)) continue
					xs.push(x)
					ys.push(y)
				}
			const between = (all: readonly number[]) =>
				all.reduce((a, c) => Math.min(a, c)) / 2 + all.reduce((a, c) => Math.max(a, c)) / 2
			if (xs.length === 0) return { n: 0, x: 0, y: 0 }
			return { n: xs.length, x: box.left + between(xs) * (box.width / width), y: box.top + between(ys) * (box.height / height) }
		},
		[r, g, b],
	)

test('a finger drags a decal, its figures shown; one placed by marks is not dragged and says why', async () => {
	const folder = folderWith([
		{ id: 'plate', artwork: 'plate', place: { kind: 'spot', station: 200, girth: 40 }, over: ['shoulder-stripe'] },
		{ id: 'held', what: 'held', artwork: 'held', place: { kind: 'marks', marks: [{ mark: 't1', point: 'front' }, { mark: 't2', point: 'rear' }] }, over: ['shoulder-stripe'] },
	], [PLATE, { id: 'held', shape: { kind: 'rectangle', width: 62, height: 6, colour: '#4040c0' } }]) // biome-ignore format: a table
	const { page, complaints } = await decals(folder, 'touch')
	const place = () => jobOf(folder).panels[0].decals[0].place
	await page.locator('.block-head', { hasText: 'plate' }).last().tap()
	await page.locator('.picture-keys').waitFor(SLOW)
	const finger = await page.context().newCDPSession(page)
	const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', x: number, y: number) =>
		finger.send('Input.dispatchTouchEvent', { type, touchPoints: type === 'touchEnd' ? [] : [{ x, y }] })
	const red = await middleOf(page, [0xb0, 0x30, 0x20])
	expect(red.n).toBeGreaterThan(100)
	await touch('touchStart', red.x + 12, red.y - 6)
	for (const by of [10, 20, 40]) await touch('touchMove', red.x + 12 + by, red.y - 6 + by / 4)
	// the finger still down, its figures are those that are written
	await vi.waitFor(async () => {
		const { station, girth } = place()
		expect(station).toBeGreaterThan(215)
		const figure = await page.locator('.drag-figure').textContent()
		expect(figure).toBe(`station ${station.toFixed(1)} mm, girth ${girth.toFixed(1)} mm`)
	}, SLOW)
	await touch('touchEnd', 0, 0)
	expect(await page.locator('.drag-figure').count()).toBe(0)
	// the left side is below: down is away from the centreline
	expect(place().girth).toBeGreaterThan(40)
	await vi.waitFor(async () => {
		const now = await middleOf(page, [0xb0, 0x30, 0x20])
		expect(Math.abs(now.x - red.x - 40)).toBeLessThan(3)
		expect(Math.abs(now.y - red.y - 10)).toBeLessThan(3)
	}, SLOW)
	// the whole drag is one step
	await page.getByRole('button', { name: 'Undo' }).tap()
	await vi.waitFor(() => expect(place()).toMatchObject({ station: 200, girth: 40 }), SLOW)
	expect(await smallTargets(page)).toEqual([])

	await page.locator('.block-head', { hasText: 'held' }).last().tap()
	const saved = readFileSync(fileOf(folder), 'utf8')
	await vi.waitFor(async () => {
		const blue = await middleOf(page, [0x40, 0x40, 0xc0])
		expect(blue.n).toBeGreaterThan(20)
		await touch('touchStart', blue.x + 8, blue.y)
		await touch('touchMove', blue.x + 40, blue.y + 10)
		const why = await page.locator('.drag-figure').textContent({ timeout: 1000 })
		await touch('touchEnd', 0, 0)
		expect(why).toMatch(/^Not dragged: it lies by marks/)
	}, SLOW)
	expect(readFileSync(fileOf(folder), 'utf8')).toBe(saved)
	expect(complaints).toEqual([])
	expect(await axeOf(page)).toEqual([])
}, 180_000)

test('what it lies on is told once paint is planned, and decals are among the downloads', async () => {
	const folder = folderWith([{ id: 'plate', artwork: 'plate', place: { kind: 'spot', station: 200, girth: 40 } }])
	const { page, complaints } = await decals(folder, 'desk')
	await page.locator('.block-head', { hasText: 'plate' }).last().click()
	await page.locator('.told-of-decal dt', { hasText: 'Lies on' }).waitFor(SLOW)
	await page.locator('.told-of-decal dt', { hasText: 'Ridges below' }).waitFor(SLOW)
	for (const [says, name] of [
		['Decals, true to size (PDF)', 'decals.pdf'],
		['Placing frame, left (SVG)', /plate-left-frame\.svg$/],
	] as const) {
		const [download] = await Promise.all([
			page.waitForEvent('download', { timeout: 60_000 }),
			page.getByRole('button', { name: says }).press('Enter'),
		])
		expect(download.suggestedFilename()).toMatch(name)
	}
	expect(complaints).toEqual([])
	expect(await axeOf(page)).toEqual([])
}, 180_000)
