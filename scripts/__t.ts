import { loadJob } from '../src/job/load.ts'

const good = `{
  // a comment
  "format": 1, "title": "Tarn 350", "unit": "mm",
  "paints": [{ "id": "green", "name": "Green", "colour": "#1f6b4f" }],
  "panels": [{
    "id": "guard", "hand": "centre",
    "found": { "kind": "revolved", "crown": { "radius": 310 }, "profile": { "radius": 62 }, "length": 500 },
    "datums": [{ "id": "front", "station": 0 }],
    "readings": [
      { "kind": "square", "mark": "u1", "station": "1 13/16 in", "girth": 46.5, "side": "left" },
      { "kind": "square", "mark": "u2", "station": 200, "girth": 48, "side": "left" }
    ],
    "edges": [{ "id": "upper", "through": ["u1", "u2"] }],
    "stripes": [{ "id": "coach", "edge": "upper", "lay": "centred", "bands": [{ "paint": "green", "width": 3 }] }],
  }],
}`
const show = (t: string) => {
	const o = loadJob(t, 'job.jsonc')
	console.log(o.value ? 'VALUE' : 'none')
	for (const p of o.problems)
		console.log(
			` ${p.severity} ${p.code} ${p.path} ${p.line}:${p.column}\n    found ${p.found}\n    expected ${p.expected}\n    fix ${p.fix}`,
		)
}
show(good)
const rep = (a: string, b: string) => {
	console.log('\n##', a, '=>', b)
	if (!good.includes(a)) throw 1
	show(good.replace(a, b))
}
rep('"colour"', '"color"')
rep('"format": 1', '"format": 2')
rep('"format": 1,', '')
rep('"format": 1', '"format": 0')
rep('"format": 1', '"format": "1"')
rep('"format": 1', '"format": -1')
rep('"unit": "mm"', '"unit": "cm"')
rep('"kind": "revolved"', '"kind": "revolve"')
rep('"kind": "revolved", ', '')
rep('"kind": "revolved"', '"kind": "flat"')
rep('"profile": { "radius": 62 }', '"profile": { "radiuss": 62 }')
rep('"profile": { "radius": 62 }', '"profile": { "points": [[0,0],[1]] }')
rep('"profile": { "radius": 62 }', '"profile": 62')
rep('"profile": { "radius": 62 }', '"profile": {}')
rep('"width": 3', '"width": -3')
rep('"width": 3', '"width": "12;5 mm"')
rep('"width": 3', '"width": [{"along":0,"width":-1}]')
rep('"width": 3', '"with": 3')
rep('"width": 3', '"width": {}')
rep('"width": 3', '"width": null')
rep('["u1", "u2"]', '["U1", {"mrk":"u2"}]')
rep('["u1", "u2"]', '"u1"')
rep('["u1", "u2"]', '["u1"]')
rep('["u1", "u2"]', '["u1", {"mark":"u2","corner":"yes"}]')
rep('"kind": "square", "mark": "u2",', '"mark": "u2",')
rep('"kind": "square", "mark": "u2",', '"kind":"tape", "mark": "u2",')
rep('"hand": "centre"', '"hand": "center"')
rep('"id": "guard"', '"id": "Front Guard", "__proto__": {"a":1}, "constructor": 3')
rep('"id": "guard"', '"id": "guard", "id": "b"')
rep('"lay": "centred"', '"lay": "centred", "offset": "5 1/0 in", "stations": 3')
rep('"paints": [{ "id": "green", "name": "Green", "colour": "#1f6b4f" }]', '"paints": [{"color":"green"}, {"id":"x"}, 5]')
rep('"colour": "#1f6b4f"', '"colour": "1F6B4F"')
rep('"title": "Tarn 350"', '"title": ""')
rep('"crown": { "radius": 310 }', '"crown": { "chord": 310 }')
for (const text of [
	'{"a": 12,5, "b": 3 }',
	'{"b": "1 13/16"",\n "c":4 }',
	"{'a':3}",
	'{a:3}',
	'',
	'hello',
	'mark,station\n1,2',
	'{"a":+5}',
	'{"a":.5}',
	'{"a":5.}',
	'{"a":012}',
	'{"a" 3}',
	'{"a":3\n "b":4}',
	'{"a":[1 2]}',
	'{"a":3',
	'{\n"a":[3,\n{"b":2]}',
	'{"a":"x\n"}',
	'{"a":"\\q"}',
	'{"a":NaN}',
	'{"a":3}}',
	'{“a”:3}',
	'{"a":1/2}',
	'/* x',
	'{"a":}',
	'[1,,2]',
	'{"a":12;5}',
	'{"a":1 1/2}',
	'{"a":46.5 mm}',
	'{"a":"x", "b:3}',
	'{"a":"left,\n"b":2}',
	'[]',
	'5',
	'"x"',
	'['.repeat(100000),
	'{"a":True, "b": hello}',
	'{"a": 1,5 mm}',
	'{"a":3 4}',
	'// c\n{"a":1,\n\n}\nx',
]) {
	console.log('\n##', text.slice(0, 60))
	show(text)
}
