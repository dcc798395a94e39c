import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { axeOf, jobsFolder, look, served } from './browser.ts'

test('a version that is kept is taken back as one step, which can be taken back itself', async () => {
	const folder = jobsFolder('fixtures/tarn-350')
	const file = join(folder, 'tarn-350', 'job.jsonc')
	const first = readFileSync(file, 'utf8')
	const second = first.replace('"girth": 78', '"girth": 79')
	expect(second).not.toBe(first)
	const { page } = await look(await served(folder))
	await page.locator('.picture:not(.stale)').waitFor()
	const girth = page.locator('[data-row="6"][data-column="reading"]')
	// An editor writes the file: what stood there before is kept.
	writeFileSync(file, second)
	await page.waitForFunction(
		() => (document.querySelector('[data-row="6"][data-column="reading"]') as HTMLInputElement).value === '79',
	)
	await page.getByRole('button', { name: 'Earlier' }).click()
	const list = page.getByLabel('An earlier version of the file')
	await list.locator('option').nth(1).waitFor({ state: 'attached' })
	expect(await axeOf(page)).toEqual([])
	await list.selectOption({ index: 1 })
	await page.waitForFunction(
		() => (document.querySelector('[data-row="6"][data-column="reading"]') as HTMLInputElement).value === '78',
	)
	await page.getByRole('button', { name: 'Undo' }).click()
	expect(await girth.inputValue()).toBe('79')
})
