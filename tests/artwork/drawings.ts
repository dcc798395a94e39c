/** Random drawings that hold all that is read: shapes, transforms, units, frames, uses, clips, lines with every cap and join. */
import fc from 'fast-check'

// Without a bias to the least and to 0: of lines without length each renderer makes something else.
const figure = (min: number, max: number) => fc.noBias(fc.integer({ min: min * 1000, max: max * 1000 })).map((x) => x / 1000)
const at = figure(5, 95)
const size = figure(4, 50)
const name = fc.constantFrom('black', '#000', 'rgb(0,0,0)', '#000000', 'rgb(0%, 0%, 0%)')
const join = fc.constantFrom('miter', 'round', 'bevel')
const cap = fc.constantFrom('butt', 'round', 'square')

const pair = fc.tuple(at, at).map(([x, y]) => `${x} ${y}`)
const step = fc.tuple(figure(-30, 30), figure(-30, 30)).map(([x, y]) => `${x},${y}`)
const command = fc.oneof(
	pair.map((p) => `L${p}`),
	step.map((p) => `l${p}`),
	at.map((x) => `H${x}`),
	figure(-20, 20).map((y) => `v${y}`),
	fc.tuple(pair, pair, pair).map((p) => `C${p.join(' ')}`),
	fc.tuple(step, step, step).map((p) => `c${p.join(' ')}`),
	fc.tuple(pair, pair).map((p) => `S${p.join(',')}`),
	fc.tuple(pair, pair).map((p) => `Q${p.join(' ')}`),
	pair.map((p) => `T${p}`),
	// flags and the figure after them without anything between, as programs write to save room
	fc
		.tuple(size, size, figure(-90, 90), fc.constantFrom('0', '1'), fc.constantFrom('0', '1'), step)
		.map(([rx, ry, turn, large, sweep, p]) => `a${rx} ${ry} ${turn} ${large}${sweep}${p}`),
	fc.tuple(size, fc.constantFrom('0 0', '1 1', '0 1'), pair).map(([r, flags, p]) => `A${r} ${r} 0 ${flags} ${p}`),
)
const loop = fc
	.tuple(pair, fc.array(command, { minLength: 2, maxLength: 5 }), fc.boolean())
	.map(([p, commands, closed]) => `M${p}${commands.join('')}${closed ? 'z' : ''}`)

const shape = fc.oneof(
	{ weight: 3, arbitrary: fc.array(loop, { minLength: 1, maxLength: 2 }).map((loops) => `path d="${loops.join(' ')}"`) },
	fc.tuple(at, at, size, size).map(([x, y, w, h]) => `rect x="${x}" y="${y}" width="${w}" height="${h}"`),
	fc
		.tuple(at, at, size, size, figure(1, 30))
		.map(([x, y, w, h, r]) => `rect x="${x}" y="${y}" width="${w}" height="${h}" rx="${r}"`),
	fc
		.tuple(at, at, size, size, figure(1, 30), figure(1, 30))
		.map(([x, y, w, h, rx, ry]) => `rect x="${x}" y="${y}" width="${w}" height="${h}" rx="${rx}" ry="${ry}"`),
	fc.tuple(at, at, figure(3, 30)).map(([x, y, r]) => `circle cx="${x}" cy="${y}" r="${r}"`),
	fc.tuple(at, at, figure(10, 40)).map(([x, y, r]) => `circle cx="${x}%" cy="${y}" r="${r}%"`),
	fc.tuple(at, at, figure(3, 30), figure(3, 30)).map(([x, y, a, b]) => `ellipse cx="${x}" cy="${y}" rx="${a}" ry="${b}"`),
	fc.tuple(at, at, at, at).map(([a, b, c, d]) => `line x1="${a}" y1="${b}" x2="${c}" y2="${d}"`),
	fc.array(pair, { minLength: 3, maxLength: 6 }).map((points) => `polyline points="${points.join(', ')}"`),
	fc.array(pair, { minLength: 3, maxLength: 6 }).map((points) => `polygon points="${points.join(' ')}"`),
)

const stroke = fc
	.tuple(name, figure(1, 8), join, cap, fc.constantFrom('', ' stroke-miterlimit="2"', ' stroke-miterlimit="20"'))
	.map(([c, w, j, e, m]) => `stroke="${c}" stroke-width="${w}" stroke-linejoin="${j}" stroke-linecap="${e}"${m}`)
const paint = fc.oneof(
	fc.constant(''),
	fc.constant('class="cut"'),
	fc.constant('fill-rule="evenodd"'),
	name.map((c) => `style="fill: ${c}; fill-rule: evenodd"`),
	stroke,
	stroke.map((s) => `fill="none" ${s}`),
	fc.tuple(figure(1, 5), join).map(([w, j]) => `style="fill:none;stroke:currentColor;stroke-width:${w}px;stroke-linejoin:${j}"`),
)
const transform = fc.oneof(
	fc.constant(''),
	fc
		.array(
			fc.oneof(
				fc.tuple(figure(-10, 10), figure(-10, 10)).map(([x, y]) => `translate(${x} ${y})`),
				fc.tuple(figure(-60, 60), at, at).map(([a, x, y]) => `rotate(${a}, ${x}, ${y})`),
				fc.tuple(figure(0.5, 1.3), figure(0.5, 1.3)).map(([x, y]) => `scale(${x},${y})`),
				fc.constant('translate(100 0) scale(-1 1)'),
				figure(-30, 30).map((a) => `skewX(${a})`),
				figure(-30, 30).map((a) => `skewY(${a})`),
				fc.constant('matrix(.9 .2 -.3 1.1 5 -4)'),
			),
			{ minLength: 1, maxLength: 2 },
		)
		.map((list) => ` transform="${list.join(' ')}"`),
)
const element = fc.tuple(shape, paint, transform).map(([s, p, t]) => `<${s} ${p}${t}/>`)
const fit = fc.constantFrom(
	'',
	' preserveAspectRatio="none"',
	' preserveAspectRatio="xMinYMax meet"',
	' preserveAspectRatio="xMaxYMid slice"',
)

// Frames are as large as the page: of which frame a percentage is, within a symbol, renderers do not agree.
const part: fc.Arbitrary<string> = fc.oneof(
	{ weight: 4, arbitrary: element },
	fc
		.tuple(fc.array(element, { minLength: 1, maxLength: 2 }), transform, paint)
		.map(([e, t, p]) => `<g ${p}${t}>${e.join('')}</g>`),
	fc
		.tuple(element, at, at, transform)
		.map(([e, x, y, t]) => `<defs><g id="a">${e}</g></defs><use href="#a" x="${x / 4}" y="${y / 4}"${t}/>`),
	fc
		.tuple(element, at, at, size, size, fit)
		.map(
			([e, x, y, w, h, f]) =>
				`<symbol id="b" viewBox="0 0 100 100"${f}>${e}</symbol><use xlink:href="#b" x="${x}" y="${y}" width="${w}" height="${h}"/>`,
		),
	fc
		.tuple(element, at, at, size, size, fit)
		.map(([e, x, y, w, h, f]) => `<svg x="${x}" y="${y}" width="${w}" height="${h}" viewBox="10 0 100 100"${f}>${e}</svg>`),
	fc
		.tuple(element, shape, transform)
		.map(([e, s, t]) => `<clipPath id="c"><${s} clip-rule="evenodd"/></clipPath><g clip-path="url(#c)"${t}>${e}</g>`),
	element.map((e) => `<g display="none">${e}</g><g visibility="hidden">${e}</g><g opacity="0">${e}</g>`),
)

/** Width and height of the page with their units, and how many mm they are: sixths of a mm, so that pixels of that size fit. */
const page = fc.constantFrom(
	['width="100mm" height="100mm"', 100, 100],
	['width="8cm" height="60mm"', 80, 60],
	['width="2.5in" height="5in"', 63.5, 127],
	['width="480px" height="240px"', 127, 63.5],
	['width="180pt" height="360pt"', 63.5, 127],
	['width="90mm"', 90, 90],
	['height="15pc"', 63.5, 63.5],
) as fc.Arbitrary<[string, number, number]>

export interface RandomDrawing {
	readonly svg: string
	readonly widthMm: number
	readonly heightMm: number
}

export const drawings: fc.Arbitrary<RandomDrawing> = fc
	.tuple(page, fit, fc.array(part, { minLength: 1, maxLength: 4 }))
	.map(([[said, widthMm, heightMm], f, parts]) => {
		// ids are one a drawing
		const body = parts.map((p, i) => p.replace(/(id="|href="#|url\(#)([abc])/g, `$1$2${i}`)).join('\n')
		const names = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
		const style = '<style>/* as programs write */ .cut { fill: #000; stroke-width: 2 } #none, .x{fill:red}</style>'
		return { svg: `<svg ${names} ${said} viewBox="0 0 100 100"${f}>\n${style}${body}</svg>`, widthMm, heightMm }
	})
