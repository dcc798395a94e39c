import { expect, test } from 'vitest'
import { axeOf, jobsFolder, look, served } from './browser.ts'

test('the page opens on a folder of one job, shows its title, and asks nothing of any other place', async () => {
	const server = await served(jobsFolder('fixtures/tarn-350'))
	const { page, complaints } = await look(server)
	await page.getByText('Tarn 350 roadster, 1959').first().waitFor()
	expect(complaints).toEqual([])
	expect(await axeOf(page)).toEqual([])
})

test('a folder of several lists them, and opens the one that is touched, as far as its panel drawn', async () => {
	const server = await served(jobsFolder('fixtures/tarn-350', 'fixtures/tarn-350-toolbox'))
	const { page, complaints } = await look(server, { size: 'touch' })
	await page.locator('a[href="#tarn-350"]').tap()
	await page.getByText('Tarn 350 roadster, 1959').first().waitFor()
	await page.locator('canvas').first().waitFor()
	expect(complaints).toEqual([])
})
