import { describe, expect, test } from 'vitest'
import { loadShop } from '../../src/job/loadShop.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { unreadable } from './jobs.ts'

const shop = (inside: string) => `{ "format": 1, "unit": "mm"${inside ? `,\n${inside}` : ''} }`
const problemsOf = (inside: string) => {
	const { problems, value } = loadShop(shop(inside), 'shop.jsonc')
	expect(unreadable(problems)).toEqual([])
	return { problems, value }
}

describe('what a workshop has where its file does not say', () => {
	test('a file that says nothing is the default shop', () => {
		const { value, problems } = loadShop(shop(''))
		expect(problems).toEqual([])
		expect(value?.shop).toEqual(defaultShop())
	})

	test('every figure of instruments and tapes says where it comes from', () => {
		const { instruments, tapes } = defaultShop()
		for (const { source } of [...instruments, ...tapes]) expect(source).toMatch(/common practice|memory/)
	})

	// UK SI 2016/1153, schedule 1I: a class II tape may be wrong by 0.5 mm to 1 m; a standard deviation is not below a third of the limit
	test('a tape is not said to be better than its class', () => {
		const sd = Object.fromEntries(defaultShop().instruments.map((each) => [each.id, each.sd]))
		expect(sd.tape).toBeGreaterThan(0.5 / 3)
		expect(sd).toEqual({ tape: 0.5, 'steel-rule': 0.3, caliper: 0.1, 'profile-gauge': 0.5, photograph: 1 })
	})

	// the usual widths in mm: common practice, no source
	test('fine-line tapes come in the usual widths', () => {
		const widths = defaultShop()
			.tapes.filter(({ kind }) => kind === 'fine-line')
			.map(({ width }) => width)
		expect(widths).toEqual([1.5, 2, 3, 6, 9, 12, 19, 25])
	})
})

test('lengths are read as in a job; margins not said are 10 mm; own instruments stand beside the usual ones', () => {
	const { value, problems } = loadShop(
		`{ "format": 1, "unit": "in", "paper": "Letter", "guideWidth": "8 mm",
			"papers": [{ "id": "roll-24", "width": 24 }],
			"printers": [{ "id": "office", "margins": { "left": 0.25, "top": "1/2 in" }, "measured": { "across": "199.2 mm", "along": "199.6 mm" } }],
			"instruments": [{ "id": "tape", "sd": "0.3 mm" }, { "id": "long-rule", "sd": 0.02 }],
			"tapes": [{ "id": "quarter", "kind": "fine-line", "width": "1/4", "edgeStrain": 0.12 }] }`,
	)
	expect(problems).toEqual([])
	expect(value?.shop).toMatchObject({
		paper: 'Letter',
		guideWidth: 8,
		stripEvery: 120,
		papers: [{ id: 'roll-24', width: 609.6 }],
		printers: [{ margins: { left: 6.35, top: 12.7, right: 10, bottom: 10 }, measured: { across: 199.2, along: 199.6 } }],
		tapes: [{ id: 'quarter', width: 6.35 }],
	})
	expect(value?.shop.instruments.map(({ id, sd }) => [id, sd])).toEqual([
		['tape', 0.3],
		['long-rule', 0.508],
		['steel-rule', 0.3],
		['caliper', 0.1],
		['profile-gauge', 0.5],
		['photograph', 1],
	])
})

test('a cutter’s film is read as other lengths are; what is not said of it is as usual', () => {
	const cutter = (inside: string) => loadShop(shop(`"cutter": { ${inside} }`)).value?.shop.cutter
	expect(cutter('')).toEqual({ gap: 4, weedingBox: true, registerMarks: true })
	expect(cutter('"sheet": { "width": "24 in", "height": 400 }, "gap": 0, "weedingBox": false, "registerMarks": false')).toEqual({
		sheet: { width: 609.6, height: 400 },
		gap: 0,
		weedingBox: false,
		registerMarks: false,
	})
})

describe('refused', () => {
	test.each<[string, string, string, RegExp]>([
		['"papper": "A4"', 'UNKNOWN_KEY', '/papper', /Rename it to `paper`/],
		['"paper": 4', 'WRONG_TYPE', '/paper', /quote marks/],
		['"guideWidth": -1', 'LENGTH_TOO_SMALL', '/guideWidth', /Write 1/],
		['"printers": [{ "id": "a", "margins": { "left": -3 } }]', 'LENGTH_TOO_SMALL', '/printers/0/margins/left', /Write 3/],
		['"printers": [{ "id": "a" }, { "id": "a" }]', 'NAME_TWICE', '/printers/1/id', /another name/],
		['"printers": [{ "id": "office" }], "printer": "offise"', 'UNKNOWN_PRINTER', '/printer', /Write "office"/],
		[
			'"printers": [{ "id": "a", "measured": { "across": 100, "along": 200 } }]',
			'SCALE_UNLIKELY',
			'/printers/0/measured/across',
			/100 %/,
		],
		['"printers": [{ "id": "a", "measured": { "across": 200 } }]', 'MISSING_KEY', '/printers/0/measured', /"along"/],
		[
			'"papers": [{ "id": "slip", "width": 20 }], "printers": [{ "id": "a" }]',
			'PAPER_TOO_SMALL',
			'/papers/0',
			/size of the paper/,
		],
		[
			'"papers": [{ "id": "slip", "width": 90, "height": 15 }], "printers": [{ "id": "a" }]',
			'PAPER_TOO_SMALL',
			'/papers/0',
			/margins/,
		],
		[
			'"tapes": [{ "id": "t", "kind": "fineline", "width": 3, "edgeStrain": 0.1 }]',
			'UNKNOWN_WORD',
			'/tapes/0/kind',
			/"fine-line"/,
		],
		[
			'"tapes": [{ "id": "t", "kind": "fine-line", "width": 3, "edgeStrain": 10 }]',
			'OUT_OF_RANGE',
			'/tapes/0/edgeStrain',
			/at most 0\.5/,
		],
		['"cutter": { "sheet": { "width": 600 } }', 'MISSING_KEY', '/cutter/sheet', /"height"/],
		['"cutter": { "sheet": { "width": 600, "height": 0 } }', 'LENGTH_TOO_SMALL', '/cutter/sheet/height', /greater than 0/],
		['"cutter": { "gap": -1 }', 'LENGTH_TOO_SMALL', '/cutter/gap', /Write 1/],
		['"cutter": { "weedingbox": true }', 'UNKNOWN_KEY', '/cutter/weedingbox', /Rename it to `weedingBox`/],
		['"cutter": { "weedingBox": "yes" }', 'WRONG_TYPE', '/cutter/weedingBox', /true|false/],
		['"cutter": { "sheet": { "width": 600, "height": 8 } }', 'CUTTER_SHEET', '/cutter/sheet', /the size of the film/],
		['"instruments": [{ "id": "tape", "sd": 0 }]', 'LENGTH_TOO_SMALL', '/instruments/0/sd', /greater than 0/],
	])('%s', (inside, code, path, fix) => {
		const { problems, value } = problemsOf(inside)
		expect(value).toBeUndefined()
		const wanted = code === 'UNKNOWN_WORD' ? problems.filter((each) => each.path === path) : problems
		expect(wanted).toMatchObject([{ path, line: 2, file: 'shop.jsonc' }])
		expect(wanted[0]?.code.replace('UNKNOWN_KIND', 'UNKNOWN_WORD')).toBe(code)
		expect(wanted[0]?.fix).toMatch(fix)
	})

	test('a newer format, and what is not JSON', () => {
		expect(loadShop('{ "format": 9 }').problems).toMatchObject([{ code: 'FORMAT_NEWER', found: 'a shop of format 9' }])
		expect(loadShop('nothing').problems).toMatchObject([{ code: 'NOT_JSON' }])
	})
})
