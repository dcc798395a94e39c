// Pages are measured as they are drawn; what they say of tape is held against the tape's own outline.
import { describe, expect, test } from 'vitest'
import { inkBox } from '../../src/drawing/bounds.ts'
import { overlaps } from '../../src/drawing/box.ts'
import type { Drawing, PathItem } from '../../src/drawing/drawing.ts'
import { flatten } from '../../src/drawing/place.ts'
import { gateRows } from '../../src/engine/gates.ts'
import { pointInRegion } from '../../src/plane/polyline.ts'
import { paintworkFiles } from '../../src/report/paintworkFiles.ts'
import { panelTitle, sessionsOf, stageWorks } from '../../src/report/paintworkPrint.ts'
import { bodySide, overUnderWords, spans } from '../../src/report/runWords.ts'
import { sprayLines } from '../../src/report/sprayWords.ts'
import { stageCards } from '../../src/report/stageCards.ts'
import { hatch } from '../../src/report/stageLook.ts'
import { LARGE, SMALL, stageView } from '../../src/report/stageView.ts'
import { tapeStyles } from '../../src/report/tapeStyles.ts'
import { findPaper, type Paper } from '../../src/sheet/paper.ts'
import { soldWidth } from '../../src/tape/tapeWords.ts'
import { demoPrint } from './demoPaintwork.ts'

const inMm = demoPrint('mm')
const inInches = demoPrint('in')
const paperOf = (name: string) => findPaper(name).value as Paper
const even = (mm: number) => ({ left: mm, right: mm, top: mm, bottom: mm })

const textsOf = ({ items }: Drawing) => flatten(items).flatMap(({ item }) => (item.kind === 'text' ? [item] : []))
const wordsOf = (page: Drawing) => textsOf(page).map(({ text }) => text)
const papersOf = (print: typeof inMm, name: string, mm: number) =>
	paintworkFiles(print, paperOf(name), even(mm)).flatMap((file) => (file.kind === 'pdf' ? [file] : []))

/** Words of the geometry that nobody at the bench uses, and slips. */
const NEVER =
	/\b(charts?|metric|loft|geodesics?|developments?|redundan\w*|ellipses?|snooping|unmask|layers?|undefined|NaN|null)\b|\[object/i

describe.each([
	['A4', 15, inMm, 'mm'],
	['Letter', 10, inInches, 'in'],
	['Letter', 15, inMm, 'mm'],
] as const)('on %s with margins of %d mm', (paper, mm, print, unit) => {
	const papers = papersOf(print, paper, mm)
	test(`in ${unit}: within the margins, no words on words, nothing cut short, plain words`, () => {
		expect(papers.map(({ name }) => name)).toEqual([
			...['job-sheet.pdf', 'stage-cards.pdf', 'tape-schedule.pdf', 'paint-schedule.pdf', 'shopping-list.pdf'],
			...['owners-sheet.pdf', 'cautions.pdf'],
		])
		for (const page of papers.flatMap(({ drawings }) => drawings)) {
			const texts: { text: string; box: NonNullable<ReturnType<typeof inkBox>> }[] = []
			for (const each of flatten(page.items)) {
				const box = inkBox(each)
				if (!box) continue
				const inside = Math.min(box.minX, box.minY, page.widthMm - box.maxX, page.heightMm - box.maxY)
				expect(inside, `${page.title}: ${JSON.stringify(each.item).slice(0, 150)}`).toBeGreaterThan(mm - 0.35)
				if (each.item.kind === 'text') texts.push({ text: each.item.text, box })
			}
			for (const [i, one] of texts.entries()) {
				expect(one.text, page.title).not.toMatch(NEVER)
				expect(one.text, page.title).not.toMatch(/\.\.\.$/)
				for (const other of texts.slice(i + 1)) {
					expect(overlaps(one.box, other.box), `${page.title}: ${one.text} on ${other.text}`).toBe(false)
				}
			}
		}
	})
})

test('an inch job speaks of millimetres only where tape is sold in them', () => {
	const said = papersOf(inInches, 'Letter', 10).flatMap(({ drawings }) => drawings.flatMap(wordsOf))
	expect(said.filter((text) => /\d mm\b/.test(text) && !/\d mm (fine-line|crepe|paper|film)/.test(text))).toEqual([])
	expect(said).toContain('from, in')
	expect(said.some((text) => /^\d+ \d+\/\d+$/.test(text))).toBe(true)
})

test('a width is said as it stands on the roll', () => {
	const said = [1.5, 3, 25, 3.175, 6.35, 19.05, 25.4].map(soldWidth)
	expect(said).toEqual(['1.5 mm', '3 mm', '25 mm', '1/8 in', '1/4 in', '3/4 in', '1 in'])
})

test('every width in stock has a pattern of its own, without its colour too', () => {
	const stock = inMm.shop.tapes
	const style = tapeStyles(stock)
	const widths = [...new Set(stock.map(({ width }) => width))]
	const patterns = widths.map((width) => style(stock.find((tape) => tape.width === width)!, 0.5).stroke.dashMm?.join(' ') ?? '')
	expect(new Set(patterns.slice(0, 8)).size).toBe(Math.min(8, widths.length))
})

describe('a stage card', () => {
	const works = stageWorks(inMm)
	const cards = stageCards(inMm, paperOf('A4'), even(15))
	const cardOf = (subject: string) => cards.filter(({ title }) => title.startsWith(`Stage card: ${subject}`))

	test('one for each panel and session, in the order of the sessions', () => {
		expect(works.map(({ stage }) => stage.number)).toEqual(works.map(({ stage }) => stage.number).toSorted((a, b) => a - b))
		expect(sessionsOf(works).flat()).toEqual(works)
		for (const { title, stage, paint } of works) {
			expect(cardOf(`${title}, session ${stage.number}, ${paint.name}`).length).toBeGreaterThan(0)
		}
	})

	test('has every run with its number, its length and its tape; the length is that of its outline', () => {
		for (const of of works) {
			const said = cardOf(`${of.title}, session ${of.stage.number},`).flatMap(wordsOf)
			for (const run of of.tape.runs) {
				expect(said).toContain(String(run.number))
				expect(said).toContain(run.lengthMm.toFixed(1))
			}
		}
		// flat: half of the way round a strip is its length and its width
		const cover = works.find(({ key }) => key === 'side-cover-left-2-gold')!
		const [run] = cover.tape.runs
		const [loop] = run!.outline
		const round = loop!.reduce((sum, p, i) => {
			const q = loop![(i + 1) % loop!.length]!
			return sum + Math.hypot(q.s - p.s, q.g - p.g)
		}, 0)
		// the two long sides of a bent strip differ by as much on either side of its middle
		expect(Math.abs(round / 2 - run!.tape.width - run!.lengthMm)).toBeLessThan(0.04 * run!.lengthMm)
		expect(cardOf('Side cover, left, session 2').flatMap(wordsOf)).toContain(run!.lengthMm.toFixed(1))
	})

	test('says of each run on which side of its line the tape lies: as its outline does', () => {
		let told = 0
		for (const of of works) {
			for (const run of of.tape.runs) {
				const side = bodySide(of, run)
				if (!['inboard', 'outboard', 'above', 'below'].includes(side) || run.follows.some((line) => line.endsWith('/end')))
					continue
				const mean = (points: readonly { g: number }[]) => points.reduce((sum, { g }) => sum + g, 0) / points.length
				const line = mean(run.line.cubics.flatMap(([a, , , d]) => [a, d]))
				const body = mean(run.outline.flat())
				const outward = of.work.hand === 'centre' ? Math.abs(body) > Math.abs(line) : body > line
				expect(side, run.id).toBe(of.work.hand === 'centre' ? (outward ? 'outboard' : 'inboard') : outward ? 'above' : 'below')
				told++
			}
		}
		// of the forty or so runs some lie across, which has no such side
		expect(told).toBeGreaterThan(10)
	})

	test('what lies over another is said of both', () => {
		const tank = works.find(({ key }) => key === 'tank-2-gold')!
		for (const lap of tank.tape.laps) {
			const [over, under] = [lap.over, lap.under].map((id) => tank.tape.runs.find((run) => run.id === id)!)
			expect(overUnderWords(tank.tape, over!.id)).toMatch(/^over /)
			expect(overUnderWords(tank.tape, under!.id)).toMatch(/under /)
		}
		expect(spans([1, 2, 3, 5, 7, 8])).toBe('1-3, 5, 7, 8')
	})

	test('its numbers are 6 mm high and more, once each', () => {
		for (const of of works) {
			const numbers = [...of.tape.runs, ...of.tape.knives].map(({ number }) => String(number))
			const [first] = cardOf(`${of.title}, session ${of.stage.number},`)
			const large = flatten(first!.items).flatMap((each) => {
				const box = inkBox(each)
				return each.item.kind === 'text' && each.item.sizeMm > 8 && box
					? [{ text: each.item.text, high: box.maxY - box.minY }]
					: []
			})
			expect(large.map(({ text }) => text).sort()).toEqual(numbers.sort())
			for (const { high } of large) expect(high).toBeGreaterThanOrEqual(6)
		}
	})

	test('its gate has the painted edges that are taped, not those that will be hidden', () => {
		const linesOf = (key: string) => gateRows(works.find((of) => of.key === key)!, inMm.result.panels).map(({ line }) => line)
		// gold on the cover: taped against the ivory above it; the green below comes later and hides the other edge
		expect(linesOf('side-cover-left-2-gold')).toEqual(['coach upper'])
		expect(linesOf('side-cover-left-3-lake-green')).toEqual(['coach lower'])
		expect(linesOf('tank-1-ivory')).toEqual([])
	})

	test('leaves blank what the paint does not say, and says what it does', () => {
		const linesOf = (key: string) => sprayLines(inMm, works.find((of) => of.key === key)!)
		const figure = (key: string, name: string) => linesOf(key).find(({ what }) => what === name)
		for (const name of ['Pot life', 'Recoat window']) expect(figure('tank-1-ivory', name)).toMatchObject({ blank: true })
		expect(figure('tank-2-gold', 'Pot life')).toEqual({ what: 'Pot life', text: '6 h' })
		expect(figure('tank-2-gold', 'Recoat window')).toEqual({ what: 'Recoat window', text: '15 min to 12 h' })
		expect(figure('tank-2-gold', 'Coats')?.text).toBe('2')
		expect(figure('tank-1-ivory', 'Coats')?.text).toMatch(/^\d\*$/)
		expect(figure('tank-2-gold', 'Lift')?.text).toMatch(/^once it is dry enough to be taped(; \d+ stay)?$/)
		// gold over ivory: two coats of 10 um over what the ivory has
		const ivory = inMm.paintwork.systems.get('ivory')!.totalUm
		expect(figure('tank-2-gold', 'Film after it')?.text).toContain(`${20 + ivory} um`)
	})
})

describe('the picture of a stage', () => {
	const works = stageWorks(inMm)
	const paints = inMm.result.job.paints

	test.each([
		['large', { ...LARGE, widthMm: 180, mostMm: 120 }],
		['small', { ...SMALL, widthMm: 87, mostMm: 58 }],
	] as const)('%s: fits, every number has its place, leaders end beside no other number', (_, size) => {
		for (const of of works) {
			const view = stageView(of, paints, inMm.shop.tapes, size)!
			expect(view.left, of.key).toEqual([])
			expect(view.box.maxX - view.box.minX).toBeLessThanOrEqual(size.widthMm + 0.01)
			expect(view.box.maxY - view.box.minY).toBeLessThanOrEqual(size.mostMm + 0.01)
		}
	})

	test('what is open is in its paint, what is covered has a hatch that stays within it', () => {
		for (const of of works) {
			const view = stageView(of, paints, inMm.shop.tapes, { ...SMALL, widthMm: 87, mostMm: 58 })!
			const paths = flatten(view.items).flatMap(({ item }) => (item.kind === 'path' ? [item] : []))
			const open = paths.find(({ title }) => title === `open: ${of.paint.name}`) as PathItem
			expect(open.fill).toBe(of.paint.colour)
			const covered = paths.find(({ title }) => title === 'covered') as PathItem
			const region = [] as { x: number; y: number }[][]
			for (const segment of open.segments) {
				if (segment.to === 'move') region.push([segment.p])
				else if (segment.to === 'line') region.at(-1)!.push(segment.p)
			}
			for (let i = 0; i + 1 < covered.segments.length; i += 2) {
				const [a, b] = [covered.segments[i]!, covered.segments[i + 1]!]
				if (a.to !== 'move' || b.to !== 'line') throw new Error('a hatch of other than straight lines')
				const middle = { x: (a.p.x + b.p.x) / 2, y: (a.p.y + b.p.y) / 2 }
				// a stretch shorter than the rounding of outlines tells nothing
				if (Math.hypot(b.p.x - a.p.x, b.p.y - a.p.y) > 0.5) expect(pointInRegion(middle, region), of.key).toBe(false)
			}
		}
	})

	test('a hatch of a square: lines so far apart as asked, all within it', () => {
		const square = [
			[0, 0],
			[40, 0],
			[40, 40],
			[0, 40],
		].map(([x, y]) => ({ x: x!, y: y! }))
		const ends = hatch([square], 2).flatMap((segment) => (segment.to === 'close' ? [] : [segment.p]))
		const offs = [...new Set(ends.map(({ x, y }) => ((y - x) / Math.SQRT2).toFixed(6)))].map(Number).sort((a, b) => a - b)
		// the square is 40 root 2 across its other diagonal
		expect(offs.length).toBeGreaterThanOrEqual(Math.floor((40 * Math.SQRT2) / 2) - 1)
		for (const [i, off] of offs.slice(1).entries()) expect(off - offs[i]!).toBeCloseTo(2, 5)
		for (const { x, y } of ends) expect(Math.min(x, y, 40 - x, 40 - y)).toBeGreaterThan(-1e-6)
	})

	test('front is to the left on a left-hand panel, and to the right on a right-hand one', () => {
		const sideOf = (key: string) => {
			const view = stageView(works.find((of) => of.key === key)!, paints, inMm.shop.tapes, { ...SMALL, widthMm: 87, mostMm: 58 })!
			const texts = flatten(view.items).flatMap(({ item }) => (item.kind === 'text' ? [item] : []))
			const x = (text: string) => texts.find((item) => item.text === text)!.at.x
			return [Math.sign(x('FRONT')), Math.sign(x('FRONT') - x(key.includes('left') ? 'LEFT' : 'RIGHT'))]
		}
		expect(sideOf('side-cover-left-2-gold')[1]).toBe(-1)
		expect(sideOf('side-cover-right-2-gold')[1]).toBe(1)
	})
})

test('the job sheet gives the order and why, and every panel of every session', () => {
	const said = papersOf(inMm, 'A4', 15)[0]!.drawings.flatMap(wordsOf)
	const all = said.join(' ')
	expect(said).toContain('1 Ivory, 2 Gold, 3 Lake green.')
	const { chosen, alternatives } = inMm.paintwork.choice
	expect(all).toContain(chosen.why)
	expect(alternatives.length).toBeGreaterThan(0)
	for (const { why } of alternatives) expect(all).toContain(`Or else: ${why}`)
	for (const { title } of stageWorks(inMm)) expect(said.some((text) => text.startsWith(`${title}: `))).toBe(true)
})

test("the owner's sheet says what is known from where, and has both consequences and room to sign", () => {
	const all = papersOf(inMm, 'A4', 15)
		.find(({ name }) => name === 'owners-sheet.pdf')!
		.drawings.flatMap(wordsOf)
	for (const text of ['an earlier repaint of this vehicle', 'Owner', 'Painter', 'signature']) expect(all).toContain(text)
	const said = all.join(' ')
	expect(said).toContain('Spilt fuel reaches the decal')
	expect(said).toContain('A spoilt decal comes off only with the clear')
})

test('panels of a pair are told apart', () => {
	expect(panelTitle({ title: 'Side cover', hand: 'left' })).toBe('Side cover, left')
	expect(panelTitle({ title: 'Left cover', hand: 'left' })).toBe('Left cover')
	expect(panelTitle({ title: 'Tank', hand: 'centre' })).toBe('Tank')
})
