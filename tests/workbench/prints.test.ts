// The page's files are the command line's: the same bytes from the same job, shop and version.
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { unzipSync } from 'fflate'
import { expect, test } from 'vitest'
import { fonts, version } from '../../src/files/package.ts'
import { loadJob } from '../../src/job/load.ts'
import { loadShop } from '../../src/job/loadShop.ts'
import { placeProblems } from '../../src/job/placeProblems.ts'
import { type FileWanted, makeFile, type ToPrint } from '../../src/workbench/prints.ts'
import { inside } from '../cli/command.ts'
import { lidJob } from './lid.ts'

const SHOP = JSON.stringify({
	...{ format: 1, unit: 'mm', paper: 'bench', papers: [{ id: 'bench', width: 300, height: 500 }] },
	printers: [{ id: 'plotter', margins: { left: 8, right: 9, top: 10, bottom: 11 }, measured: { across: 199.1, along: 200.3 } }],
})
const JOB = lidJob({ checks: [{ line: 'coach inner', side: 'left', station: 200, girth: 82.5 }], right: [80, 81, 80, 80] })
const KIT = { fonts: fonts(), version: version() }

const toPrint = (): ToPrint => {
	const { value, problems } = loadJob(JOB, 'job.jsonc')
	const shop = loadShop(SHOP, 'shop.jsonc').value!
	if (!value) throw new Error(JSON.stringify(problems))
	return {
		...{ job: value.job, shop: shop.shop, cache: new Map(), problems, folder: 'lid' },
		placed: (all) => placeProblems(all, { job: value.source, shop: shop.source }),
	}
}
const made = async (wanted: FileWanted, to: ToPrint) => {
	const { value, problems } = await makeFile(wanted, to, KIT)
	if (!value) throw new Error(JSON.stringify(problems))
	return value
}

test('every print is the command line’s', async () => {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-prints-'))
	writeFileSync(join(folder, 'job.jsonc'), JOB)
	writeFileSync(join(folder, 'shop.jsonc'), SHOP)
	for (const words of [
		['make', '.'],
		['proof', '.'],
		['check-sheet', '.'],
		['measuring-sheet', '.', '--paper', 'A4'],
		['test-sheet'],
	]) {
		const { code, err } = await inside(words, folder)
		expect([code, err]).toEqual([expect.any(Number), expect.not.stringMatching(/\berror:/)])
	}
	const to = toPrint()
	const same = async (wanted: FileWanted, path: string, from = to) => {
		const { name, bytes } = await made(wanted, from)
		expect(path.endsWith(name), `${name} for ${path}`).toBe(true)
		expect(Buffer.from(bytes).equals(readFileSync(join(folder, path))), path).toBe(true)
	}
	await same({ kind: 'sheets' }, 'out/sheets.pdf')
	await same({ kind: 'sides' }, 'out/sides.pdf')
	await same({ kind: 'plan', panel: 'lid' }, 'out/plan-lid.svg')
	await same({ kind: 'piece', piece: 'lid/strip/1' }, 'out/pieces/lid-strip-1.svg')
	await same({ kind: 'proof' }, 'proof.pdf')
	await same({ kind: 'proof-table' }, 'proof.csv')
	await same({ kind: 'check-sheet' }, 'check-sheet.pdf')
	await same({ kind: 'check-table' }, 'check-sheet.csv')
	await same({ kind: 'measuring-sheet' }, 'measuring-sheet.pdf', { ...to, paper: 'A4' })
	await same({ kind: 'measuring-table' }, 'measuring-sheet.csv', { ...to, paper: 'A4' })
	await same({ kind: 'test-sheet' }, 'test-sheet.pdf')
	for (const name of ['stage-cards.pdf', 'job-sheet.pdf', 'owners-sheet.pdf', 'shopping-list.pdf', 'stand.html'])
		await same({ kind: 'paintwork', name }, `out/${name}`)
	const packed = unzipSync((await made({ kind: 'all' }, to)).bytes)
	const { files } = JSON.parse(readFileSync(join(folder, 'out', 'result.json'), 'utf8')) as { readonly files: readonly string[] }
	expect(Object.keys(packed).sort()).toEqual(files.map((name) => `lid/${name}`).sort())
	for (const name of files.filter((one) => one !== 'result.json')) {
		expect(Buffer.from(packed[`lid/${name}`] as Uint8Array).equals(readFileSync(join(folder, 'out', name))), name).toBe(true)
	}
})

test('mirrored sheets, and sheets of film for a cutter, are the command line’s', async () => {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-prints-'))
	writeFileSync(join(folder, 'job.jsonc'), JOB)
	writeFileSync(join(folder, 'shop.jsonc'), SHOP)
	const { err } = await inside(['make', '.', '--mirrored', '--cutter', '500x170'], folder)
	expect(err).not.toMatch(/\berror:/)
	const film = { width: 500, height: 170 }
	const to: ToPrint = { ...toPrint(), mirrored: true, film }
	const sheets = await made({ kind: 'sheets' }, to)
	const plain = await made({ kind: 'sheets' }, toPrint())
	expect(Buffer.from(sheets.bytes).equals(readFileSync(join(folder, 'out', 'sheets.pdf')))).toBe(true)
	expect(Buffer.from(sheets.bytes).equals(plain.bytes)).toBe(false)
	const packed = unzipSync((await made({ kind: 'all' }, to)).bytes)
	const { files } = JSON.parse(readFileSync(join(folder, 'out', 'result.json'), 'utf8')) as { readonly files: readonly string[] }
	const cutter = files.filter((name) => name.startsWith('cutter/'))
	expect(cutter.length).toBeGreaterThan(1)
	for (const name of files.filter((one) => one !== 'result.json'))
		expect(Buffer.from(packed[`lid/${name}`] as Uint8Array).equals(readFileSync(join(folder, 'out', name))), name).toBe(true)
	const alone = unzipSync((await made({ kind: 'cutter', film }, to)).bytes)
	expect(Object.keys(alone).sort()).toEqual([...cutter].sort())
	for (const name of cutter)
		expect(Buffer.from(alone[name] as Uint8Array).equals(readFileSync(join(folder, 'out', name))), name).toBe(true)
	// a film that nothing fits on is said, not an empty file
	const none = await makeFile({ kind: 'cutter', film: { width: 30, height: 30 } }, toPrint(), KIT)
	expect(none.problems.length).toBeGreaterThan(0)
	expect(none.value).toBeUndefined()
})

test('sheets of some panels alone, and a job that has nothing of the kind', async () => {
	const to = toPrint()
	expect((await makeFile({ kind: 'sheets' }, { ...to, only: [] }, KIT)).problems[0]).toMatchObject({ code: 'NOTHING_TO_PRINT' })
	const whole = await made({ kind: 'sheets' }, { ...to, only: ['lid'] })
	expect(Buffer.from(whole.bytes).equals((await made({ kind: 'sheets' }, to)).bytes)).toBe(true)
	const wrong = await makeFile({ kind: 'sheets' }, { ...to, paper: 'nosuch' }, KIT)
	expect(wrong.value).toBeUndefined()
	expect(wrong.problems).not.toEqual([])
})
