/** Decals by the command line: drawings beside the job, lettering, what is refused, and what is written. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { folderWith, inside } from './command.ts'

const WING = `<svg xmlns="http://www.w3.org/2000/svg" width="1in" height="0.5in" viewBox="0 0 10 5"><path d="M0 0H10V5H0Z" fill="#aa3300"/></svg>`
const job = (artwork: string, decals: string) => `{
	"format": 1, "title": "A lid", "unit": "in", "paints": [],
	"artwork": [${artwork}],
	"panels": [{
		"id": "lid", "hand": "left", "found": { "kind": "flat", "length": 12, "width": 8 },
		"decals": [${decals}]
	}]
}`
const drawing = (id: string, file: string) => `{ "id": "${id}", "shape": { "kind": "drawing", "file": "${file}" } }`
const words = '{ "id": "word", "shape": { "kind": "lettering", "text": "TARN", "font": "stencil", "height": "3/4 in" } }'
const decal = (artwork: string, station: number) =>
	`{ "id": "${artwork}", "artwork": "${artwork}", "place": { "kind": "spot", "station": ${station}, "girth": 0 } }`

interface Result {
	readonly panels: readonly {
		readonly decals?: readonly { readonly id: string; readonly widthMm: number; readonly heightMm: number }[]
	}[]
}

test('a drawing and a word come out at their sizes, on sheets of their own, with their frames', async () => {
	const folder = folderWith({
		'job.jsonc': job(`${drawing('wing', 'wing.svg')}, ${words}`, `${decal('wing', 3)}, ${decal('word', 8)}`),
		'wing.svg': WING,
	})
	const { code, out, err } = await inside(['make', '.'], folder)
	expect([code, err]).toEqual([0, ''])
	expect(out).toContain('decals.pdf')
	expect(readdirSync(join(folder, 'out'))).toContain('decals.pdf')
	const { panels } = JSON.parse(readFileSync(join(folder, 'out', 'result.json'), 'utf8')) as Result
	const [wing, word] = panels[0]?.decals ?? []
	expect(wing?.widthMm).toBeCloseTo(25.4, 2)
	expect(wing?.heightMm).toBeCloseTo(12.7, 2)
	expect(word?.id).toBe('word/left')
	const said = readFileSync(join(folder, 'out', 'summary.txt'), 'utf8')
	expect(said).toContain('1 in x 1/2 in water-slide decal')
})

test('a drawing with a script and one that is not there are named, and the other decals come out', async () => {
	const bad = WING.replace('<path', '<script>alert(1)</script>\n<path')
	const folder = folderWith({
		'job.jsonc': job(
			`${drawing('bad', 'bad.svg')}, ${drawing('gone', 'gone.svg')}, ${words}`,
			`${decal('bad', 2)}, ${decal('gone', 5)}, ${decal('word', 8)}`,
		),
		'bad.svg': bad,
	})
	const { code, out, err } = await inside(['make', '.'], folder)
	expect(code).toBe(1)
	expect(out + err).toMatch(/bad\.svg[^\n]*script|script[^\n]*bad\.svg/)
	expect(out + err).toContain('gone.svg')
	const { panels } = JSON.parse(readFileSync(join(folder, 'out', 'result.json'), 'utf8')) as Result
	expect(panels[0]?.decals?.map(({ id }) => id)).toEqual(['word/left'])
})
