// The unit of a job changed: the same lengths, the same remarks, the same lines and pieces.
import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { lengthIn, withUnit } from '../../src/workbench/changeUnit.ts'
import { viewOf } from '../../src/workbench/view.ts'

const TANK = readFileSync('fixtures/tarn-350/job.jsonc', 'utf8')
const jobOf = (text: string) => {
	const { value, problems } = loadJob(text)
	if (!value) throw new Error(JSON.stringify(problems))
	return value.job
}
const remarks = (text: string) => text.split('\n').filter((line) => line.trim().startsWith('//'))

/** Every number of a value, with its place. */
const numbers = (value: unknown, at = ''): readonly (readonly [string, number])[] =>
	typeof value === 'number'
		? [[at, value]]
		: typeof value === 'object' && value !== null
			? Object.entries(value).flatMap(([key, inner]) => numbers(inner, `${at}/${key}`))
			: []

test('a job in mm put into inches and back has its lengths, and its text, to the letter', () => {
	const inches = withUnit(TANK, 'in')!
	expect(inches).toContain('"unit": "in"')
	expect(inches).toContain('"girth": "52 mm"')
	expect(remarks(inches)).toEqual(remarks(TANK))
	// angles, and 0, which is as long in either
	expect(inches).toContain('"angleDeg": 60')
	expect(inches).toContain('"station": 0')
	const [before, after] = [numbers(jobOf(TANK)), numbers(jobOf(inches))]
	expect(before.length).toBeGreaterThan(400)
	expect(after).toEqual(before)
	expect(withUnit(inches, 'mm')).toBe(TANK)
})

test('the same lines come out, to the last figure', () => {
	const scheme = (text: string) => {
		const shop = defaultShop()
		const { panels } = viewOf(compute(jobOf(text), shop, { until: 'scheme' }), 'tank', shop.tolerances)
		return numbers(panels.map(({ scenes }) => scenes))
	}
	const before = scheme(TANK)
	expect(before.length).toBeGreaterThan(100)
	expect(scheme(withUnit(TANK, 'in')!)).toEqual(before)
}, 60_000)

test('fractions, units of their own, figures that are no lengths, and texts that are no job', () => {
	const job = `{
	"format": 1, "title": "Lid, 12 in long", "unit": "in", // in inches
	"paints": [{ "id": "gold", "name": "Gold", "colour": "#c9a227", "sprayed": { "filmUm": 25, "coats": 3 } }],
	"limits": { "mark": "1/32" },
	"panels": [{ "id": "lid", "hand": "centre",
		"found": { "kind": "flat", "length": 12, "width": "75 mm", "bend": { "radius": 40.5, "towards": "left" } },
		"datums": [{ "id": "nose", "station": 0 }],
		"readings": [
			{ "kind": "square", "mark": "a", "station": "1' 2 1/2", "girth": "1 13/16", "side": "left", "sd": 0.02 },
		],
		"strips": { "stations": [1, "2 in", "30 mm"], "every": 5 },
	}],
}`
	const mm = withUnit(job, 'mm')!
	for (const part of [
		...['"unit": "mm", // in inches', '"title": "Lid, 12 in long"', '"filmUm": 25, "coats": 3', '"mark": "1/32 in"'],
		...[
			'"length": "12 in", "width": 75,',
			'"radius": "40.5 in"',
			'"station": "1\' 2 1/2"',
			'"girth": "1 13/16 in"',
			'"sd": "0.02 in"',
		],
		...['"stations": ["1 in", "2 in", 30]', '"every": "5 in"'],
	])
		expect(mm).toContain(part)
	// 1 13/16 in is 46.0375 mm (25.4 mm to the inch, exactly)
	expect(jobOf(mm).panels[0]!.readings[0]).toMatchObject({ girth: 46.0375, station: 368.3 })
	expect(withUnit('{ "unit": "mm", ', 'in')).toBeUndefined()
	expect(withUnit(TANK.replace('"girth": 52,', '"girth": "many",'), 'in')).toBeUndefined()
})

test('single lengths', () => {
	expect(lengthIn('46.5 mm', 'in', 'mm')).toBe(46.5)
	expect(lengthIn('46.50 mm', 'in', 'mm')).toBeUndefined()
	expect(lengthIn(0, 'mm', 'in')).toBeUndefined()
	expect(lengthIn(-3, 'mm', 'in')).toBe('-3 mm')
	expect(lengthIn(1e-7, 'in', 'mm')).toBe('0.0000025 mm')
	expect(lengthIn('4.65 cm', 'mm', 'in')).toBeUndefined()
})
