import { describe, expect, test } from 'vitest'
import { crossCheck } from '../../src/job/crossCheck.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { PROBLEM_LIMIT, withLines } from '../../src/job/source.ts'
import { changed, GOOD, unreadable } from './jobs.ts'

const check = (text: string) => {
	const { value, problems } = loadJob(text, 'tarn.job.jsonc')
	if (!value) throw new Error(JSON.stringify(problems, null, 1))
	const found = withLines(crossCheck(value.job), value.source)
	expect(unreadable(found)).toEqual([])
	return found
}

/** A panel of a pair in place of the mudguard. */
const PAIR = GOOD.replace('"hand": "centre"', '"hand": "pair"')
	.replace(/"found": \{[\s\S]*?\n {4}\},/, '"found": { "kind": "flat", "length": 500, "width": 100 },')
	.replaceAll('"side": "left"', '"side": "above", "panel": "left"')
	.replaceAll('"side": "right"', '"side": "above", "panel": "right"')

test('a job that holds together', () => {
	expect(check(GOOD)).toEqual([])
	expect(check(PAIR)).toEqual([])
})

const EDGE = '{ "id": "upper", "through": ["u1", "u2"] }'

describe('wrong in one place', () => {
	test.each<[string, string, string, string, RegExp, RegExp]>([
		// from, to, code, path, found, fix
		['"id": "cream"', '"id": "green"', 'NAME_TWICE', '/paints/1/id', /second paint called "green"/, /another name/],
		['"id": "rear"', '"id": "front"', 'NAME_TWICE', '/panels/0/datums/1/id', /second datum called "front"/, /another name/],
		[
			'{ "kind": "tape",',
			'{ "kind": "square", "mark": "rear", "station": 480 }, { "kind": "tape",',
			'NAME_TWICE',
			'/panels/0/readings/3/mark',
			/name of a datum/,
			/another name/,
		],
		[EDGE, `${EDGE}, ${EDGE}`, 'NAME_TWICE', '/panels/0/edges/1/id', /second edge called "upper"/, /another name/],
		[
			'"edges": [',
			'"edges": [{ "id": "outline", "through": ["u1", "u2"] },',
			'NAME_RESERVED',
			'/panels/0/edges/0/id',
			/edge called "outline"/,
			/outline-line/,
		],
		[
			'["u1", "u2"]',
			'["u1", "u22", "u2"]',
			'UNKNOWN_MARK',
			'/panels/0/edges/0/through/1',
			/"u22", which is no mark/,
			/add a reading of this mark/i,
		],
		['["u1", "u2"]', '["u1", { "mark": "reer" }]', 'UNKNOWN_MARK', '/panels/0/edges/0/through/1/mark', /"reer"/, /Write "rear"/],
		['["u1", "u2"]', '["left/u1", "right/u2"]', '', '', /./, /./],
		[
			'["u1", "u2"]',
			'["right/u1", "u2"]',
			'SIDE_NOT_READ',
			'/panels/0/edges/0/through/0',
			/only measured on the left/,
			/write "left\/u1"/,
		],
		[
			'["u1", "u2"]',
			'["left/front", "u2"]',
			'SIDE_NOT_READ',
			'/panels/0/edges/0/through/0',
			/no side was measured/,
			/write "front"/,
		],
		['["u1", "u2"]', '["u1", "u1", "u2"]', 'SAME_MARK', '/panels/0/edges/0/through/1', /"u1" twice in a row/, /Take one/],
		[
			'["u1", "u2"]',
			'["u1", { "mark": "u1" }]',
			'SAME_MARK',
			'/panels/0/edges/0/through/1/mark',
			/"u1" twice in a row/,
			/Take one/,
		],
		[
			'["u1", "u2"]',
			'["u1", "u2"], "closed": true',
			'TOO_FEW',
			'/panels/0/edges/0/through',
			/closed line through "u1" and "u2"/,
			/Add marks/,
		],
		[
			'["u1", "u2"]',
			'["u1", "u2", "rear", "u1"], "closed": true',
			'SAME_MARK',
			'/panels/0/edges/0/through/3',
			/both ends of a closed line/,
			/last one/,
		],
		[
			'["u1", "u2"]',
			'["u1", "u2", "rear"], "closed": true, "rear": "runs-off"',
			'CLOSED_WITH_END',
			'/panels/0/edges/0',
			/runs off/,
			/`front` and `rear`/,
		],
		['["u1", "u2"]', '["u1", "rear"], "hand": "across"', 'LAY_WRONG|', '', /./, /./],
		['"lay": "centred"', '"lay": "front"', 'LAY_WRONG', '/panels/0/stripes/0/lay', /does not cross the centreline/, /Write one/],
		['"edge": "upper"', '"edge": "uper"', 'UNKNOWN_EDGE', '/panels/0/stripes/0/edge', /"uper"/, /Write "upper"/],
		['"paint": "green"', '"paint": "gren"', 'UNKNOWN_PAINT', '/panels/0/stripes/0/bands/0/paint', /"gren"/, /Write "green"/],
		['{ "paint": "green", "width": 3 }', '{ "gap": 3 }', 'NO_BAND', '/panels/0/stripes/0/bands', /gaps and no band/, /"paint"/],
		[
			'"width": 3',
			'"width": [{ "along": 0, "width": 2 }, { "along": 0, "width": 3 }]',
			'TAPER_ORDER',
			'/panels/0/stripes/0/bands/0/width/1/along',
			/0 mm after one at 0 mm/,
			/in order/,
		],
		[
			'"width": 3',
			'"width": [{ "along": 0, "width": 0 }, { "along": 9, "width": 0 }]',
			'NO_BAND',
			'/panels/0/stripes/0/bands/0/width',
			/no width anywhere/,
			/widths/,
		],
		[
			'"lay": "centred",',
			'"lay": "centred", "over": ["coach-line"],',
			'UNKNOWN_STRIPE',
			'/panels/0/stripes/0/over/0',
			/"coach-line"/,
			/Take it away/,
		],
		[
			'"lay": "centred",',
			'"lay": "centred", "hand": "across",',
			'HAND_WRONG',
			'/panels/0/stripes/0/hand',
			/whose hand is "mirrored"/,
			/Take it away/,
		],
		[
			'"girth": 46.5, "side": "left"',
			'"girth": 46.5',
			'SIDE_MISSING',
			'/panels/0/readings/0',
			/46\.5 mm with no side/,
			/"side": "left" or "side": "right"/,
		],
		[
			'"girth": 46.5, "side": "left"',
			'"girth": 46.5, "side": "above"',
			'SIDE_WRONG',
			'/panels/0/readings/0/side',
			/"above"/,
			/left or right, as the driver/,
		],
		[
			'"girth": 46.5, "side": "left"',
			'"girth": 46.5, "side": "left", "panel": "left"',
			'PANEL_NOT_PAIR',
			'/panels/0/readings/0/panel',
			/whose hand is "centre"/,
			/`side`/,
		],
		[
			'"girth": 46.5, "side": "left"',
			'"girth": 46.5, "side": "left", "with": "calliper"',
			'UNKNOWN_INSTRUMENT',
			'/panels/0/readings/0/with',
			/"calliper"/,
			/Write "caliper"/,
		],
		['"to": "left/u2"', '"to": "front"', 'SAME_MARK', '/panels/0/readings/3', /"front" and "front"/, /Correct the name/],
		[
			'"datums": [',
			'"baseline": { "from": "frunt", "to": "rear" }, "datums": [',
			'UNKNOWN_DATUM',
			'/panels/0/baseline/from',
			/"frunt"/,
			/Write "front"/,
		],
		[
			'"datums": [',
			'"baseline": { "from": "rear", "to": "front" }, "datums": [',
			'BASELINE_REVERSED',
			'/panels/0/baseline',
			/from "rear" forward to "front"/,
			/Change the two/,
		],
		[
			'"datums": [',
			'"baseline": { "from": "rear", "to": "rear" }, "datums": [',
			'BASELINE_REVERSED',
			'/panels/0/baseline',
			/to itself/,
			/Name two/,
		],
		[
			'"datums": [',
			'"baseline": { "interruptions": [{ "from": 90, "to": 60, "what": "filler" }] }, "datums": [',
			'INTERRUPTION_REVERSED',
			'/panels/0/baseline/interruptions/0',
			/90 mm to 60 mm/,
			/Change the two/,
		],
		[
			'"datums": [',
			'"strips": { "stations": [50, 100, 50] }, "datums": [',
			'STATION_TWICE',
			'/panels/0/strips/stations/2',
			/second strip at station 50/,
			/Take it away/,
		],
		[
			'"datums": [',
			'"strips": { "stations": [50], "every": 90 }, "datums": [',
			'STRIPS_TWICE',
			'/panels/0/strips',
			/both/,
			/one of the two/,
		],
		[
			'"datums": [',
			'"holes": [{ "id": "bolt", "station": 20, "girth": 10, "diameter": 8 }], "datums": [',
			'SIDE_MISSING',
			'/panels/0/holes/0',
			/10 mm/,
			/Add/,
		],
		[
			'"datums": [',
			'"outline": { "points": ["u1", "u9"] }, "datums": [',
			'UNKNOWN_MARK',
			'/panels/0/outline/points/1',
			/"u9"/,
			/reading/,
		],
		[
			'"datums": [',
			'"outline": { "points": ["u1", { "station": 3, "girth": 9 }] }, "datums": [',
			'SIDE_MISSING',
			'/panels/0/outline/points/1',
			/9 mm/,
			/Add/,
		],
		[
			'"datums": [',
			'"fields": [{ "id": "low", "paint": "cream", "between": ["uper"] }], "datums": [',
			'UNKNOWN_EDGE',
			'/panels/0/fields/0/between/0',
			/"uper"/,
			/Write "upper"/,
		],
		[
			'"datums": [',
			'"fields": [{ "id": "low", "paint": "cream", "between": ["upper", "upper"] }], "datums": [',
			'SAME_EDGE',
			'/panels/0/fields/0/between/1',
			/second time/,
			/Take it away/,
		],
		[
			'"datums": [',
			'"fields": [{ "id": "low", "paint": "crem", "between": ["upper", "centreline"] }], "datums": [',
			'UNKNOWN_PAINT',
			'/panels/0/fields/0/paint',
			/"crem"/,
			/Write "cream"/,
		],
		[
			'"datums": [',
			'"prepared": { "shape": { "kind": "flat" }, "datums": [{ "id": "reer", "station": 3 }] }, "datums": [',
			'UNKNOWN_DATUM',
			'/panels/0/prepared/datums/0/id',
			/"reer"/,
			/Write "rear"/,
		],
	])('%s -> %s', (from, to, code, path, found, fix) => {
		const text = changed(from, to)
		const problems = check(text)
		if (code === '' || code.endsWith('|')) {
			expect(problems).toEqual([])
			return
		}
		expect(problems.map((each) => `${each.code} ${each.path}`)).toEqual([`${code} ${path}`])
		const [problem] = problems
		// the change stands in one line (of its own, or of what it changed), and the problem is there
		expect(problem).toMatchObject({
			file: 'tarn.job.jsonc',
			line: text.slice(0, text.indexOf(to, GOOD.indexOf(from))).split('\n').length,
		})
		expect(problem?.found).toMatch(found)
		expect(problem?.fix).toMatch(fix)
		if (path.startsWith('/panels')) expect(problem?.place).toEqual({ panel: 'guard' })
	})
})

describe('a pair, and panels of one side', () => {
	test('no centreline: sides are above and below', () => {
		const [problem] = check(changed('"girth": 46.5, "side": "above"', '"girth": 46.5, "side": "left"', PAIR))
		expect(problem).toMatchObject({ code: 'SIDE_WRONG', path: '/panels/0/readings/0/side' })
		expect(problem?.fix).toContain('"panel": "left"')
	})
	test('nothing goes across, and no field reaches a centreline', () => {
		const across = check(changed('["u1", "u2"]', '["u1", "rear"], "hand": "across"', PAIR))
		expect(across.map(({ code, path }) => `${code} ${path}`)).toContain('HAND_WRONG /panels/0/edges/0/hand')
		const field = '"fields": [{ "id": "low", "paint": "cream", "between": ["centreline"] }], "datums": ['
		expect(check(changed('"datums": [', field, PAIR))).toMatchObject([{ code: 'CENTRELINE_MISSING' }])
	})
	test('one datum on each panel may have one name: by it the two are matched', () => {
		const twins = '"datums": [{ "id": "bolt", "station": 5, "panel": "left" }, { "id": "bolt", "station": 6, "panel": "right" }, '
		expect(check(changed('"datums": [', twins, PAIR))).toEqual([])
		expect(check(changed('"datums": [', twins.replace('right', 'left'), PAIR))).toMatchObject([{ code: 'NAME_TWICE' }])
	})
	test('a panel of one side has neither the other hand nor sides of marks', () => {
		const LEFT = PAIR.replace('"hand": "pair"', '"hand": "left"')
			.replace(/, "panel": "(left|right)"/g, '')
			.replace('"left/u2"', '"u2"')
		expect(check(LEFT)).toEqual([])
		expect(check(changed('["u1", "u2"]', '["u1", "u2"], "hand": "mirrored"', LEFT))).toMatchObject([
			{ code: 'HAND_WRONG', path: '/panels/0/edges/0/hand', expected: '"left"' },
		])
		expect(check(changed('["u1", "u2"]', '["left/u1", "u2"]', LEFT))).toMatchObject([{ code: 'SIDE_WRONG', fix: 'Write "u1".' }])
	})
	test('the bend of a flat panel is towards a side that it has', () => {
		const bent = '{ "kind": "flat", "bend": { "radius": 900, "towards": "left" }, "length": 500'
		expect(check(changed('{ "kind": "flat", "length": 500', bent, PAIR))).toMatchObject([
			{ code: 'SIDE_WRONG', path: '/panels/0/found/bend/towards' },
		])
	})
})

test('a line across the centreline says which of two marks, and a stripe on it front or rear', () => {
	const across = changed('["u1", "u2"]', '["u1", "u2"], "hand": "across"')
	expect(check(across)).toMatchObject([{ code: 'SIDE_MISSING', path: '/panels/0/edges/0/through/1' }])
	const sided = changed('["u1", "u2"]', '["left/u2", "right/u2"], "hand": "across"')
	expect(check(sided)).toEqual([])
	expect(check(changed('"lay": "centred"', '"lay": "inboard"', sided))).toMatchObject([{ code: 'LAY_WRONG' }])
	expect(check(changed('"lay": "centred"', '"lay": "rear"', sided))).toEqual([])
})

test('instruments are those of the shop', () => {
	const { value } = loadJob(changed('"length": 205.5', '"length": 205.5, "with": "long-rule"'))
	const shop = defaultShop()
	expect(crossCheck(value!.job, shop)).toMatchObject([{ code: 'UNKNOWN_INSTRUMENT' }])
	expect(crossCheck(value!.job, { ...shop, instruments: [...shop.instruments, { id: 'long-rule', sd: 0.4 }] })).toEqual([])
})

test('many problems are counted, not all worked out', () => {
	const through = Array.from({ length: 5000 }, (_, i) => `"x${i}"`).join(', ')
	const problems = check(changed('["u1", "u2"]', `[${through}]`))
	expect(problems).toHaveLength(PROBLEM_LIMIT + 1)
	expect(problems.at(-1)).toMatchObject({
		code: 'MORE_PROBLEMS',
		severity: 'note',
		found: '4800 more problems that are not listed',
	})
})
