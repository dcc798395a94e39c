// Drawings: sizes by hand, what is refused and how it is said, and that no bytes make it throw or hang.
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readColour } from '../../src/artwork/svg/colour.ts'
import { readDrawing } from '../../src/artwork/svg/read.ts'
import type { DrawingShape } from '../../src/job/artworkSchema.ts'
import { boxOf } from '../../src/plane/polyline.ts'
import { drawings } from './drawings.ts'
import { whole } from './entries.ts'

const SEED = 90211
const NS = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
const MM = `<svg ${NS} width="100mm" height="100mm" viewBox="0 0 100 100">`
const read = (svg: string | Uint8Array, more: Partial<DrawingShape> = {}) =>
	readDrawing(
		typeof svg === 'string' ? new TextEncoder().encode(svg) : svg,
		{ kind: 'drawing', file: 'badge.svg', ...more },
		0.01,
		'/artwork/0/shape',
	)
const codes = (svg: string | Uint8Array, more: Partial<DrawingShape> = {}) => read(svg, more).problems.map(({ code }) => code)
const sizeOf = (svg: string, more: Partial<DrawingShape> = {}) => {
	const { value, problems } = read(svg, more)
	if (!value) throw new Error(JSON.stringify(problems))
	const box = boxOf(value.inks.flatMap(({ region }) => region.flat()))!
	return [box.maxX - box.minX, box.maxY - box.minY].map((x) => Number(x.toFixed(2)))
}
const rect = '<rect x="10" y="10" width="60" height="30"/>'

describe('its size', () => {
	test('units of length are real ones (96 px to the inch), figures alone are none', () => {
		const of = (size: string) => `<svg ${NS} ${size} viewBox="0 0 100 100">${rect}</svg>`
		expect(sizeOf(of('width="50mm" height="50mm"'))).toEqual([30, 15])
		expect(sizeOf(of('width="2in" height="2in"'))).toEqual([30.48, 15.24])
		expect(sizeOf(of('width="192px"'))).toEqual([30.48, 15.24])
		expect(sizeOf(of('width="144pt"'))).toEqual([30.48, 15.24])
		for (const none of ['', 'width="100" height="100"', 'width="100%" height="100%"']) {
			const { value, problems } = read(of(none))
			expect(value).toBeUndefined()
			expect(problems).toMatchObject([{ code: 'DRAWING_NO_SIZE', path: '/artwork/0/shape/file' }])
			expect(sizeOf(of(none), { width: 45 })).toEqual([45, 22.5])
			expect(sizeOf(of(none), { height: 45 })).toEqual([90, 45])
			expect(sizeOf(of(none), { known: { from: [10, 10], to: [10, 40], length: 12 } })).toEqual([24, 12])
		}
	})

	test('a width is that of the ink, pens and cut parts as they are; another size in the file is said', () => {
		const svg = `<svg ${NS} viewBox="0 0 100 100"><path d="M20 20 L50 80 L80 20" fill="none" stroke="#123456" stroke-width="6"/></svg>`
		expect(sizeOf(svg, { width: 77 })[0]).toBe(77)
		expect(codes(`${MM}${rect}</svg>`, { width: 60 })).toEqual([])
		expect(codes(`${MM}${rect}</svg>`, { width: 55 })).toEqual(['DRAWING_OTHER_SIZE'])
	})

	test('percentages are of the frame that they stand in', () => {
		// SVG 2, 8.9: of a viewBox of 40 by 20 its width, its height, and its diagonal over the root of two
		const svg = `${MM}<svg width="40" height="20" viewBox="0 0 40 20"><rect width="50%" height="50%"/></svg></svg>`
		expect(sizeOf(svg)).toEqual([20, 10])
		const round = `${MM}<svg width="40" height="20" viewBox="0 0 40 20"><circle cx="50%" cy="50%" r="10%"/></svg></svg>`
		expect(sizeOf(round)[0]).toBeCloseTo((2 * 0.1 * Math.hypot(40, 20)) / Math.SQRT2, 1)
	})
})

test('colours: by name, figures and function; what follows in one colour is one ink', () => {
	const hex = (said: string) => readColour(said)?.hex
	expect(
		['Red', '#1a2B3c', '#fa0', 'rgb(26, 43, 60)', 'rgb(10% 20% 30%)', 'hsl(120, 100%, 25%)', '#123 icc-color(a, 1)'].map(hex),
	).toEqual([...['#ff0000', '#1a2b3c', '#ffaa00', '#1a2b3c', '#1a334d', '#008000', '#112233']])
	expect([readColour('#12345600')?.alpha, readColour('rgba(1,2,3,50%)')?.alpha, hex('constructor'), hex('rgb(1,2)')]).toEqual([
		0,
		0.5,
		undefined,
		undefined,
	])
	const svg = `${MM}<g fill="red">${rect}<rect x="50" y="50" width="9" height="9"/></g><circle cx="30" cy="30" r="5" fill="#00f"/></svg>`
	expect(read(svg).value?.inks.map(({ colour, region }) => [colour, region.length])).toEqual([
		['#ff0000', 2],
		['#0000ff', 1],
	])
})

test('areas drawn edge to edge leave no seam in the outline', async () => {
	const halves = `${MM}<path d="M10 10C40 0 60 60 90 50V90H10z"/><path fill="#f00" d="M10 10C40 0 60 60 90 50V5H10z"/></svg>`
	const art = await whole({ kind: 'drawing', file: 'a.svg' }, {}, halves)
	expect(art.outline.length).toBe(1)
	expect(art.areaMm2).toBeCloseTo(80 * 85, 0)
	expect(art.inks.length).toBe(2)
})

describe('what is refused, with the file, the line and the element', () => {
	const wrong: readonly (readonly [string, string, string])[] = [
		['not XML', 'hello', 'DRAWING_NOT_XML'],
		['broken off', `${MM}<rect`, 'DRAWING_NOT_XML'],
		['an entity that is not there', `${MM}<title>&bomb;</title>${rect}</svg>`, 'DRAWING_NOT_XML'],
		['another XML', '<html xmlns="http://www.w3.org/1999/xhtml"/>', 'DRAWING_NOT_SVG'],
		['entities', `<!DOCTYPE svg [<!ENTITY a "aaaa">]>${MM}${rect}</svg>`, 'DRAWING_ENTITIES'],
		['nothing drawn', `${MM}<defs>${rect}</defs></svg>`, 'DRAWING_EMPTY'],
		['nothing with a colour', `${MM}<g fill="none">${rect}</g></svg>`, 'DRAWING_EMPTY'],
		['off the page', `${MM}<rect x="200" width="9" height="9"/></svg>`, 'DRAWING_EMPTY'],
		['no area', `<svg ${NS} width="0" height="10mm">${rect}</svg>`, 'DRAWING_NO_SIZE'],
		['a page without area', `<svg ${NS} width="10mm" viewBox="0 0 0 10">${rect}</svg>`, 'DRAWING_NO_SIZE'],
		['an enormous one', `<svg ${NS} width="1e7mm" height="1e7mm" viewBox="0 0 100 100">${rect}</svg>`, 'DRAWING_SIZE'],
		['a script', `${MM}<script>alert(1)</script>${rect}</svg>`, 'DRAWING_REFUSED'],
		['a script by an attribute', `${MM}<rect width="9" height="9" onclick="x()"/></svg>`, 'DRAWING_REFUSED'],
		['another document', `${MM}<foreignObject/>${rect}</svg>`, 'DRAWING_REFUSED'],
		['another file', `${MM}<use xlink:href="other.svg#a"/>${rect}</svg>`, 'DRAWING_REFUSED'],
		['a paint elsewhere', `${MM}<rect width="9" height="9" fill="url(http://x.invalid/#a)"/></svg>`, 'DRAWING_REFUSED'],
		['styles elsewhere', `${MM}<style>@import "http://x.invalid/a.css";</style>${rect}</svg>`, 'DRAWING_REFUSED'],
		['a picture', `${MM}<image href="data:image/png;base64,AAAA" width="9" height="9"/></svg>`, 'DRAWING_PICTURE'],
		['text', `${MM}<text x="9" y="9">TARN</text></svg>`, 'DRAWING_TEXT'],
		['dashes', `${MM}<path d="M0 0H90" stroke="red" stroke-dasharray="3 2"/></svg>`, 'DRAWING_DASHES'],
		['a mask', `${MM}<mask id="m"/><g mask="url(#m)">${rect}</g></svg>`, 'DRAWING_MASK'],
		['an arrow', `${MM}<marker id="m"/><path d="M0 0H90" stroke="red" marker-end="url(#m)"/></svg>`, 'DRAWING_MARKER'],
		['styles not followed', `${MM}<style>g > rect { fill: red }</style>${rect}</svg>`, 'DRAWING_STYLE'],
		['a path that is none', `${MM}<path id="p7" d="M0 0 L 1 x"/></svg>`, 'DRAWING_PATH'],
		['a transform that is none', `${MM}<g transform="spin(9)">${rect}</g></svg>`, 'DRAWING_TRANSFORM'],
		['a length that is none', `${MM}<rect width="9furlong" height="9"/></svg>`, 'DRAWING_LENGTH'],
		['a colour that is none', `${MM}<rect width="9" height="9" fill="puce-ish"/></svg>`, 'DRAWING_COLOUR'],
		['a use of what is not there', `${MM}<use href="#gone"/>${rect}</svg>`, 'DRAWING_REFERENCE'],
		['a use of itself', `${MM}<g id="a"><use href="#a"/>${rect}</g></svg>`, 'DRAWING_REFERENCE'],
		[
			'a clip of itself',
			`${MM}<clipPath id="c" clip-path="url(#c)">${rect}</clipPath><g clip-path="url(#c)">${rect}</g></svg>`,
			'DRAWING_CLIP',
		],
	]
	test.each(wrong)('%s', (_, svg, code) => {
		const { value, problems } = read(svg)
		expect(value).toBeUndefined()
		expect(problems.filter(({ severity }) => severity === 'error').map((p) => p.code)).toContain(code)
		for (const problem of problems) {
			expect(problem.path).toBe('/artwork/0/shape/file')
			expect(problem.found).toMatch(/^badge\.svg[,:]/)
			expect(problem.expected && problem.fix).toBeTruthy()
		}
	})

	test('the line and the element are named', () => {
		const [problem] = read(`${MM}\n${rect}\n<path id="wing" d="L1 1"/></svg>`).problems
		expect(problem?.found).toBe('badge.svg, line 3, <path id="wing">: path data that is none')
	})

	test('what only looks otherwise is warned of, and comes', () => {
		const cases = [
			[`${MM}<g opacity=".5">${rect}</g></svg>`, 'DRAWING_OPACITY'],
			[`${MM}<g filter="url(#f)">${rect}</g></svg>`, 'DRAWING_EFFECT'],
			[
				`${MM}<linearGradient id="g"><stop stop-color="#abc"/></linearGradient><g fill="url(#g)">${rect}</g></svg>`,
				'DRAWING_COLOURS',
			],
			[`${MM}<g transform="scale(0 1)">${rect}</g>${rect}</svg>`, 'DRAWING_FLAT'],
			[`${MM}<blob/>${rect}</svg>`, 'DRAWING_UNKNOWN'],
			[`${MM}<rect x="80" y="10" width="60" height="30"/></svg>`, 'DRAWING_CUT'],
		] as const
		for (const [svg, code] of cases) {
			const { value, problems } = read(svg)
			expect(problems, code).toMatchObject([{ code, severity: 'warning' }])
			expect(value, code).toBeDefined()
		}
		expect(codes(`${MM}<g transform="scale(0 1)">${rect}</g></svg>`)).toEqual(['DRAWING_FLAT', 'DRAWING_EMPTY'])
	})
})

describe('never hangs', () => {
	// Seconds of the processor, far above what they take: a growth with the square of the size would take minutes.
	const quick = (svg: string | Uint8Array, code: string) => {
		const before = process.cpuUsage().user
		expect(codes(svg)).toContain(code)
		expect((process.cpuUsage().user - before) / 1e6).toBeLessThan(20)
	}
	test('uses of uses of uses', () => {
		const layers = Array.from({ length: 12 }, (_, i) => `<g id="a${i + 1}">${`<use href="#a${i}"/>`.repeat(10)}</g>`)
		quick(`${MM}<defs><g id="a0">${rect}</g>${layers.join('')}</defs><use href="#a12"/></svg>`, 'DRAWING_TOO_LARGE')
	})
	test('more lines than a badge has, and a scribble of long ones', () => {
		quick(`${MM}<path d="M0 0${'l.1 .1'.repeat(50_001)}"/></svg>`, 'DRAWING_TOO_LARGE')
		let x = 1
		const next = () => {
			x = (x * 48271) % 2147483647
			return (x % 9000) / 100
		}
		quick(
			`${MM}<path d="M0 0${Array.from({ length: 40_000 }, () => `L${next()} ${next()}`).join('')}"/></svg>`,
			'DRAWING_TOO_LARGE',
		)
	})
	test('deep, long and large', () => {
		quick(`${MM}${'<g>'.repeat(5000)}`, 'DRAWING_TOO_LARGE')
		quick(new Uint8Array(5_000_001), 'DRAWING_TOO_LARGE')
		const a = 'a'.repeat(1_500_000)
		quick(`${MM}<g transform="${a}">${rect}</g><style>${a}</style></svg>`, 'DRAWING_TRANSFORM')
		quick(
			`${MM}<style>${'@'.repeat(500_000)}${'/*'.repeat(500_000)}</style><path d="${'9'.repeat(999_999)}"/></svg>`,
			'DRAWING_PATH',
		)
		quick(`${MM}<rect width="${'9'.repeat(1_500_000)}x!" height="9"/></svg>`, 'DRAWING_LENGTH')
		quick(`${MM}<polygon points="${'1'.repeat(1_500_000)} x"/></svg>`, 'DRAWING_PATH')
	})
	test(`drawings with bytes changed: problems or a drawing, never a throw (seed ${SEED})`, () => {
		const broken = fc.tuple(
			drawings,
			fc.array(fc.tuple(fc.nat(), fc.integer({ min: 32, max: 126 })), { minLength: 1, maxLength: 6 }),
		)
		fc.assert(
			fc.property(broken, ([{ svg }, changes]) => {
				const bytes = new TextEncoder().encode(svg)
				for (const [at, to] of changes) bytes[200 + (at % (bytes.length - 200))] = to
				const { value, problems } = read(bytes)
				if (!value) expect(problems.some(({ severity }) => severity === 'error')).toBe(true)
			}),
			{ seed: SEED, numRuns: 200 },
		)
	})
})
