import { describe, expect, test } from 'vitest'
import { loadJob, READING_LIMIT } from '../../src/job/load.ts'
import { PROBLEM_LIMIT, TEXT_LIMIT } from '../../src/job/source.ts'
import { changed, GOOD, lineOf, unreadable } from './jobs.ts'

const only = (text: string) => {
	const { value, problems } = loadJob(text, 'tarn.job.jsonc')
	expect(unreadable(problems)).toEqual([])
	expect(problems.map(({ code, path, found }) => `${code} ${path} ${found}`)).toHaveLength(1)
	return { value, ...problems[0]! }
}

describe('a good job', () => {
	const { value, problems } = loadJob(GOOD, 'tarn.job.jsonc')

	test('loads, with lengths in mm and what was left out filled in', () => {
		expect(problems).toEqual([])
		// 1 13/16 in = 1.8125 x 25.4 mm
		expect(value?.job.panels[0]?.readings[0]).toMatchObject({ station: 46.0375, girth: 46.5, side: 'left', squared: 'by-eye' })
		expect(value?.job.limits).toEqual({ shape: 0.3, gap: 0.5 })
		expect(value?.job.panels[0]?.edges[0]).toMatchObject({ closed: false, front: 'at-mark', rear: 'at-mark' })
		expect(value?.unit).toBe('mm')
	})

	test('in inches, plain numbers are inches and texts keep their own unit', () => {
		const inches = loadJob(changed('"unit": "mm"', '"unit": "in"')).value
		expect(inches?.job.panels[0]?.readings[1]).toMatchObject({ station: 5080, girth: 1219.2 })
		expect(inches?.job.panels[0]?.readings[0]).toMatchObject({ station: 46.0375 })
	})

	test('a byte order mark and Windows line ends change nothing', () => {
		expect(loadJob(`\ufeff${GOOD.replaceAll('\n', '\r\n')}`).value?.job).toEqual(value?.job)
	})
})

describe('not JSON', () => {
	test.each<[string, string, string, number, number, RegExp]>([
		['empty', '', 'NOT_JSON', 1, 1, /starter/],
		['blank', ' \n ', 'NOT_JSON', 1, 1, /starter/],
		['words', 'hello there', 'NOT_JSON', 1, 1, /name of a job file/],
		['a table of readings', 'mark,station,left\nu1,2,3\n', 'NOT_JSON', 1, 1, /begin a new job/],
		['a list', '[]', 'WRONG_TYPE', 1, 1, /braces/],
		['a decimal comma', '{\n "a": 12,5 }', 'JSON_SYNTAX', 2, 7, /Write 12\.5\./],
		['a decimal comma with a unit', '{\n "a": 12,5 mm }', 'JSON_SYNTAX', 2, 7, /Write "12\.5 mm"/],
		['a semicolon in a number', '{\n "a": 12;5 }', 'JSON_SYNTAX', 2, 7, /Write 12\.5\./],
		['a bare fraction', '{\n "a": 1 13/16 }', 'JSON_SYNTAX', 2, 7, /Write "1 13\/16"/],
		['a bare length', '{\n "a": 46.5 mm }', 'JSON_SYNTAX', 2, 7, /Write "46\.5 mm"/],
		['an inch mark in a text', '{\n "a": "1 13/16"",\n "b": 3 }', 'JSON_SYNTAX', 2, 7, /"1 13\/16 in"/],
		['a plus sign', '{ "a": +5 }', 'JSON_SYNTAX', 1, 8, /Write 5\./],
		['a bare point', '{ "a": .5 }', 'JSON_SYNTAX', 1, 8, /Write 0\.5\./],
		['NaN', '{ "a": NaN }', 'JSON_SYNTAX', 1, 8, /figure/],
		['capital True', '{ "a": True }', 'JSON_SYNTAX', 1, 8, /Write true/],
		['a bare word', '{ "a": left }', 'JSON_SYNTAX', 1, 8, /Write "left"/],
		['a bare key', '{ a: 3 }', 'JSON_SYNTAX', 1, 3, /Write "a"/],
		['single quote marks', "{ 'a': 3 }", 'JSON_SYNTAX', 1, 3, /double quote/],
		['curly quote marks', '{ “a”: 3 }', 'JSON_SYNTAX', 1, 3, /straight/],
		['no comma', '{ "a": 3\n  "b": 4 }', 'JSON_SYNTAX', 2, 3, /comma at the end .* \(line 1\)/],
		['no colon', '{ "a" 3 }', 'JSON_SYNTAX', 1, 7, /colon/],
		['no value', '{ "a": }', 'JSON_SYNTAX', 1, 8, /value/],
		['an open text', '{ "a": "left,\n  "b": 4 }', 'JSON_SYNTAX', 1, 8, /Close the text/],
		['an open brace', '{ "a": {\n  "b": 4\n', 'JSON_SYNTAX', 1, 8, /Close it with }/],
		['brackets crossed', '{ "a": [{ "b": 4 ] }', 'JSON_SYNTAX', 1, 18, /Close it with }/],
		['more after the end', '{ "a": 3 }\n}', 'JSON_SYNTAX', 2, 1, /Take it away/],
		['an open remark', '/* about\n{ "a": 3 }', 'JSON_SYNTAX', 1, 1, /\*\//],
		['a backslash', '{ "a": "\\q" }', 'JSON_SYNTAX', 1, 8, /twice/],
	])('%s', (_, text, code, line, column, fix) => {
		const problem = only(text)
		expect(problem.value).toBeUndefined()
		expect(problem).toMatchObject({ code, line, column, severity: 'error', file: 'tarn.job.jsonc', path: '' })
		expect(problem.fix).toMatch(fix)
	})

	test('mistakes far apart are all reported', () => {
		const broken = changed('"unit": "mm"', '"unit": mm', changed('"length": 500', '"length": 12,5'))
		expect(loadJob(broken).problems.map(({ line }) => line)).toEqual([lineOf(broken, '"unit"'), lineOf(broken, '12,5')])
	})

	test('a key that stands twice', () => {
		const problem = only(changed('"id": "guard",', '"id": "guard",\n    "id": "wing",'))
		expect(problem).toMatchObject({ code: 'KEY_TWICE', path: '/panels/0/id', line: lineOf(GOOD, '"id": "guard"') + 1, column: 5 })
		expect(problem.found).toContain(`line ${lineOf(GOOD, '"id": "guard"')}`)
	})
})

describe('wrong in one place', () => {
	test.each<[string, string, string, string, string, RegExp, RegExp]>([
		// from, to, code, path, a part of the line, found, fix
		[
			'"colour": "#1f6b4f"',
			'"color": "#1f6b4f"',
			'UNKNOWN_KEY',
			'/paints/0/color',
			'"color"',
			/`color` is not a key/,
			/Rename it to `colour`/,
		],
		['"edge": "upper",', '"egde": "upper",', 'UNKNOWN_KEY', '/panels/0/stripes/0/egde', 'egde', /`egde`/, /Rename it to `edge`/],
		['"title": "Tarn', '"titel": "x", "title": "Tarn', 'UNKNOWN_KEY', '/titel', 'titel', /`titel`/, /`title` is there already/],
		['"hand": "centre"', '"hand": "centre", "wheel": 3', 'UNKNOWN_KEY', '/panels/0/wheel', 'wheel', /`wheel`/, /Take it away/],
		[
			'"hand": "centre"',
			'"hand": "centre", "__proto__": { "id": "x" }',
			'UNKNOWN_KEY',
			'/panels/0/__proto__',
			'proto',
			/`__proto__`/,
			/Take it away/,
		],
		[
			'"hand": "centre"',
			'"hand": "centre", "constructor": 1',
			'UNKNOWN_KEY',
			'/panels/0/constructor',
			'constructor',
			/`constructor`/,
			/Take it away/,
		],
		['"title": "Tarn 350 roadster",', '', 'MISSING_KEY', '', '{', /the file has no `title`/, /Add "title"/],
		['"title": "Tarn 350 roadster"', '"title": ""', 'EMPTY_TEXT', '/title', 'title', /`title` is ""/, /Write one/],
		['"title": "Tarn 350 roadster"', '"title": 350', 'WRONG_TYPE', '/title', 'title', /350 \(a number\)/, /quote marks: "350"/],
		['"unit": "mm"', '"unit": "cm"', 'UNKNOWN_WORD', '/unit', 'unit', /"cm"/, /one of these/],
		['"unit": "mm",', '', 'MISSING_KEY', '', '{', /no `unit`/, /Add "unit"/],
		['"hand": "centre"', '"hand": "center"', 'UNKNOWN_WORD', '/panels/0/hand', '"center"', /"center"/, /Write "centre"/],
		['"hand": "centre"', '"hand": null', 'UNKNOWN_WORD', '/panels/0/hand', 'null', /null/, /one of these/],
		['"id": "guard"', '"id": "Front Guard"', 'BAD_NAME', '/panels/0/id', 'Front Guard', /"Front Guard"/, /Write "front-guard"/],
		['"#1f6b4f"', '"1F6B4F"', 'BAD_NAME', '/paints/0/colour', '1F6B4F', /"1F6B4F"/, /Write "#1f6b4f"/],
		['"#1f6b4f"', '"green"', 'BAD_NAME', '/paints/0/colour', '"Lake green"', /"green"/, /such as #/],
		[
			'"kind": "revolved"',
			'"kind": "revolve"',
			'UNKNOWN_KIND',
			'/panels/0/found/kind',
			'revolve',
			/"revolve"/,
			/Write "revolved"/,
		],
		['"kind": "revolved",', '', 'MISSING_KEY', '/panels/0/found', '"found"', /`found` has no `kind`/, /Add "kind": "revolved"/],
		[
			'"kind": "revolved"',
			'"kind": "flat"',
			'WRONG_KIND',
			'/panels/0/found/kind',
			'"flat"',
			/`crown` and `profile`/,
			/"kind": "revolved"/,
		],
		['"kind": "tape"', '"kind": "pulled"', 'UNKNOWN_KIND', '/panels/0/readings/3/kind', 'pulled', /"pulled"/, /one of these/],
		[
			'"kind": "tape"',
			'"kind": "square"',
			'WRONG_KIND',
			'/panels/0/readings/3/kind',
			'205.5',
			/`from`, `to` and `length`/,
			/Write "kind": "tape"/,
		],
		['"kind": "tape", ', '', 'MISSING_KEY', '/panels/0/readings/3', '205.5', /no `kind`/, /Add "kind"/],
		[
			'{ "radius": 62 }',
			'{ "radiuss": 62 }',
			'UNKNOWN_KEY',
			'/panels/0/found/profile/radiuss',
			'radiuss',
			/`radiuss`/,
			/Rename it to `radius`/,
		],
		[
			'{ "radius": 62 }',
			'{ "radius": "wide" }',
			'LENGTH_UNREADABLE',
			'/panels/0/found/profile/radius',
			'wide',
			/"wide", which is not a length/,
			/figures/,
		],
		[
			'{ "radius": 62 }',
			'{ "points": [[0, 0], [5, 1]] }',
			'TOO_FEW',
			'/panels/0/found/profile/points',
			'points',
			/2 items/,
			/Add 1 more/,
		],
		[
			'{ "radius": 62 }',
			'{ "points": [[0, 0], [5, 1], [9, 3, 1]] }',
			'TOO_MANY',
			'/panels/0/found/profile/points/2',
			'points',
			/3 values/,
			/Take 1 away/,
		],
		[
			'{ "radius": 62 }',
			'62',
			'WRONG_TYPE',
			'/panels/0/found/profile',
			'profile',
			/62 \(a number\)/,
			/with points, with radius or with straight/,
		],
		['{ "radius": 62 }', '{}', 'WRONG_TYPE', '/panels/0/found/profile', 'profile', /empty object/, /with points/],
		[
			'{ "radius": 310 }',
			'{ "chord": 310 }',
			'MISSING_KEY',
			'/panels/0/found/crown',
			'crown',
			/`crown` has no `rise`/,
			/Add "rise"/,
		],
		['["u1", "u2"]', '["u1"]', 'TOO_FEW', '/panels/0/edges/0/through', 'through', /1 item/, /Add 1 more/],
		['["u1", "u2"]', '"u1"', 'WRONG_TYPE', '/panels/0/edges/0/through', 'through', /"u1" \(a text\)/, /square brackets/],
		[
			'["u1", "u2"]',
			'["u1", "U2"]',
			'BAD_NAME',
			'/panels/0/edges/0/through/1',
			'through',
			/item 2 of `through` is "U2"/,
			/Write "u2"/,
		],
		['["u1", "u2"]', '["u1", "middle/u2"]', 'BAD_NAME', '/panels/0/edges/0/through/1', 'through', /middle/, /left\/NAME/],
		[
			'["u1", "u2"]',
			'["u1", { "mrk": "u2" }]',
			'UNKNOWN_KEY',
			'/panels/0/edges/0/through/1/mrk',
			'mrk',
			/`mrk`/,
			/Rename it to `mark`/,
		],
		[
			'["u1", "u2"]',
			'["u1", { "mark": "u2", "corner": "yes" }]',
			'WRONG_TYPE',
			'/panels/0/edges/0/through/1/corner',
			'corner',
			/"yes"/,
			/Write true/,
		],
		[
			'["u1", "u2"]',
			'["u1", { "mark": "u2", "tolerance": -1 }]',
			'LENGTH_TOO_SMALL',
			'/panels/0/edges/0/through/1/tolerance',
			'tolerance',
			/-1/,
			/Write 1/,
		],
		[
			'["u1", "u2"]',
			'["u1", 2]',
			'WRONG_TYPE',
			'/panels/0/edges/0/through/1',
			'through',
			/item 2 of `through` is 2/,
			/a text in quote marks or an object/,
		],
		['"width": 3', '"width": -3', 'LENGTH_TOO_SMALL', '/panels/0/stripes/0/bands/0/width', '-3', /-3/, /Write 3/],
		['"width": 3', '"width": 0', 'LENGTH_TOO_SMALL', '/panels/0/stripes/0/bands/0/width', '"width": 0', /0/, /greater than 0/],
		[
			'"width": 3',
			'"width": "12;5 mm"',
			'LENGTH_UNREADABLE',
			'/panels/0/stripes/0/bands/0/width',
			'12;5',
			/"12;5 mm"/,
			/Write "12\.5 mm"/,
		],
		[
			'"width": 3',
			'"width": "5 1/0 in"',
			'LENGTH_UNREADABLE',
			'/panels/0/stripes/0/bands/0/width',
			'1/0',
			/0 below the line/,
			/divided/,
		],
		[
			'"width": 3',
			'"width": "1,5 mm"',
			'LENGTH_UNREADABLE',
			'/panels/0/stripes/0/bands/0/width',
			'1,5',
			/comma/,
			/Write "1\.5 mm"/,
		],
		['"width": 3', '"width": 1e9', 'LENGTH_UNREADABLE', '/panels/0/stripes/0/bands/0/width', '1e9', /1000000 m/, /unit/],
		['"width": 3', '"width": null', 'WRONG_TYPE', '/panels/0/stripes/0/bands/0/width', 'null', /null/, /leave the key out/],
		[
			'"width": 3',
			'"width": true',
			'WRONG_TYPE',
			'/panels/0/stripes/0/bands/0/width',
			'"width": true',
			/true/,
			/a length greater than 0/,
		],
		[
			'"width": 3',
			'"width": [{ "along": 0, "width": 2 }, { "along": "5 cm", "width": -1 }]',
			'LENGTH_TOO_SMALL',
			'/panels/0/stripes/0/bands/0/width/1/width',
			'along',
			/-1/,
			/Write 1/,
		],
		['"width": 3', '"with": 3', 'UNKNOWN_KEY', '/panels/0/stripes/0/bands/0/with', '"with"', /`with`/, /Rename it to `width`/],
		[
			'"width": 3 }',
			'"width": 3, "gap": 2 }',
			'UNKNOWN_KEY',
			'/panels/0/stripes/0/bands/0/gap',
			'"gap"',
			/`gap`/,
			/Take it away/,
		],
		[
			'"girth": 46.5, "side": "left"',
			'"girth": -46.5',
			'LENGTH_TOO_SMALL',
			'/panels/0/readings/0/girth',
			'-46.5',
			/-46\.5/,
			/Write 46\.5/,
		],
		['"panels": [{', '"panels": [], "notes": [{', 'TOO_FEW', '/panels', '"panels"', /0 items/, /Add 1/],
	])('%s -> %s', (from, to, code, path, part, found, fix) => {
		const text = changed(from, to)
		const { problems, value } = loadJob(text, 'tarn.job.jsonc')
		expect(unreadable(problems)).toEqual([])
		expect(value).toBeUndefined()
		const problem = problems.find((each) => each.code === code && each.path === path)
		expect(problem, JSON.stringify(problems, null, 1)).toBeDefined()
		// nothing else is said, except where the change itself makes a second mistake
		if (!to.includes('"notes"')) expect(problems).toHaveLength(1)
		expect(problem).toMatchObject({ severity: 'error', file: 'tarn.job.jsonc', line: lineOf(text, part) })
		expect(problem?.column).toBeGreaterThan(0)
		expect(problem?.found).toMatch(found)
		expect(problem?.fix).toMatch(fix)
	})

	test('an unknown key points at the key, a wrong value at the value', () => {
		const key = only(changed('"colour": "#1f6b4f"', '"color": "#1f6b4f"'))
		const line = GOOD.split('\n')[key.line! - 1]!
		expect(key.column).toBe(line.indexOf('"colour"') + 1)
		expect(key.expected).toBe('`id`, `name`, `colour` or `sprayed`')
		const value = only(changed('"width": 3', '"width": -3'))
		expect(
			changed('"width": 3', '"width": -3')
				.split('\n')
				[value.line! - 1]!.slice(value.column! - 1),
		).toMatch(/^-3/)
	})

	test('what is expected says what the key is for', () => {
		expect(only(changed('{ "radius": 310 }', '{ "chord": 310 }')).expected).toMatch(
			/`rise`, a length greater than 0 .*Height of the crown/,
		)
		expect(only(changed('"kind": "tape", ', '')).expected).toContain(
			'"square", "tape", "straight", "width", "gap", "toLine", "crossing" or "between"',
		)
	})
})

describe('several at once', () => {
	test('all are reported, in the order of the file', () => {
		const text = changed(
			'"width": 3',
			'"width": -3',
			changed('"colour": "#1f6b4f"', '"color": "#1f6b4f"', changed('"unit": "mm"', '"unit": "cm"')),
		)
		const { problems } = loadJob(text)
		expect(problems.map(({ code }) => code)).toEqual(['UNKNOWN_WORD', 'UNKNOWN_KEY', 'LENGTH_TOO_SMALL'])
		expect(problems.map(({ line }) => line)).toEqual([...problems.map(({ line }) => line!)].sort((a, b) => a - b))
	})

	test('keys missing from one object are one problem', () => {
		const problem = only(changed('{ "id": "cream", "name": "Cream", "colour": "#f3e9cf" }', '{ "id": "cream" }'))
		expect(problem).toMatchObject({ code: 'MISSING_KEY', path: '/paints/1', line: lineOf(GOOD, '"cream"') })
		expect(problem.fix).toBe('Add "name": ... and "colour": ...')
	})

	test('a misspelt key is not also reported as missing', () => {
		expect(only(changed('"name": "Cream"', '"nmae": "Cream"'))).toMatchObject({
			code: 'UNKNOWN_KEY',
			fix: 'Rename it to `name`.',
		})
	})

	test('more than can be read are counted', () => {
		const paints = Array.from({ length: 500 }, (_, i) => `{ "id": "p${i}" }`).join(',\n')
		const { problems } = loadJob(changed('{ "id": "cream", "name": "Cream", "colour": "#f3e9cf" }', paints))
		expect(problems).toHaveLength(PROBLEM_LIMIT + 1)
		expect(problems.at(-1)).toMatchObject({ code: 'MORE_PROBLEMS', found: '300 more problems that are not listed' })
	})
})

describe('limits', () => {
	test('a text too large', () => {
		expect(only(`{ "title": "${'x'.repeat(TEXT_LIMIT)}" }`)).toMatchObject({ code: 'FILE_TOO_LARGE', line: 1 })
	})
	test('too many readings', () => {
		const reading = '{ "kind": "square", "mark": "u2", "station": 200, "girth": 48.5, "side": "right" },'
		const problem = only(changed(reading, reading.repeat(READING_LIMIT)))
		expect(problem).toMatchObject({ code: 'TOO_MANY_READINGS', path: '/panels', line: lineOf(GOOD, '"panels"') })
		expect(problem.found).toBe('10003 readings')
	})
	test.each(['[', '{"a":', '[{"a":'])('nested without end: %s', (open) => {
		const problem = only(`{ "title":\n${open.repeat(100_000)}`)
		expect(problem).toMatchObject({ code: 'NESTED_TOO_DEEP', line: 2 })
	})
	test('brackets in texts and remarks do not nest', () => {
		expect(
			loadJob(changed('Tarn 350 roadster', '['.repeat(1000), changed('// a remark', `// ${'{'.repeat(1000)}`))).problems,
		).toEqual([])
	})
})

describe('format', () => {
	test('missing: said, and the rest is still looked at', () => {
		const { problems } = loadJob(changed('"format": 1,', '', changed('"width": 3', '"width": -3')))
		expect(problems.map(({ code }) => code)).toEqual(['FORMAT_MISSING', 'LENGTH_TOO_SMALL'])
		expect(problems[0]).toMatchObject({ path: '', line: 1, fix: 'Write "format": 1 as its first line.' })
	})
	test('a text instead of a number', () => {
		expect(only(changed('"format": 1', '"format": "1"'))).toMatchObject({ code: 'FORMAT_MISSING', path: '/format', line: 3 })
	})
	test('newer: refused aloud, and nothing else is said of what cannot be understood', () => {
		const problem = only(changed('"format": 1', '"format": 2', changed('"width": 3', '"breadth": 3')))
		expect(problem).toMatchObject({ code: 'FORMAT_NEWER', path: '/format', line: 3, expected: 'format 1 or older' })
		expect(problem.fix).toMatch(/newer version/)
	})
	test.each(['-1', '0.5'])('%s: no way from there', (format) => {
		expect(only(changed('"format": 1', `"format": ${format}`))).toMatchObject({
			code: 'FORMAT_UNKNOWN',
			path: '/format',
			line: 3,
		})
	})
})
