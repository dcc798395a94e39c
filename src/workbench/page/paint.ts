/** Draws the scenes of a panel on a canvas: the panel, its paints, its lines with what they are known to, and what was measured. */
import type { ReadingView } from '../readings.ts'
import type { Line, Scene } from '../scene.ts'
import { type Camera, offsetsOf, toScreen } from './camera.ts'

export interface Shown {
	readonly scenes: readonly Scene[]
	readonly readings: readonly ReadingView[]
	/** the reading whose row has the focus */
	readonly focused: number | undefined
	/** what its dimension line says, in the unit of the job */
	readonly says: string | undefined
	/** marks that a problem names, by key */
	readonly wrong: ReadonlySet<string>
	/** of the job, for the scale bar */
	readonly unit: 'mm' | 'in'
	/** drawn as an older answer: the text has gone on since */
	readonly stale: boolean
	/** the stripe whose bands can be dragged, or the decal */
	readonly open?: string | undefined
}

/** Ink, paper and the one accent: as the style sheet has them. */
const INK = '#1d1b16'
const FAINT = '#6b655a'
const BARE = '#ece6d8'
const ACCENT = '#9a3412'
const HALO = 'rgba(255,253,247,0.9)'
const FONT = '"Barlow Semi Condensed", system-ui, sans-serif'

export function paint(
	context: CanvasRenderingContext2D,
	camera: Camera,
	shown: Shown,
	size: { readonly width: number; readonly height: number },
): void {
	context.clearRect(0, 0, size.width, size.height)
	const offsets = offsetsOf(shown.scenes)
	const taken: Box[] = []
	shown.scenes.forEach((scene, i) => {
		const dy = offsets[i] ?? 0
		const pen = penOf(context, camera, dy)
		ground(pen, scene)
		for (const area of [...scene.fields, ...scene.bands]) pen.area(area.loops, area.colour, 'rgba(29,27,22,0.55)')
		for (const band of scene.bands)
			if (band.path === shown.open)
				for (const edge of [...(band.edges?.near ?? []), ...(band.edges?.far ?? [])]) pen.stroke(edge, ACCENT, 1)
		decals(pen, scene, shown.open)
		for (const patch of scene.patches) pen.dashed(patch.loops, [4, 3], FAINT)
		limit(pen, scene)
		for (const line of scene.lines) {
			for (const known of line.known) if (pen.apart(known, line.points) > 1.5) pen.stroke(known, INK, 1, [1, 3])
			pen.stroke(line.points, INK, 1.25)
		}
		for (const stretch of scene.baseline) pen.stroke(stretch, INK, 1, [14, 3, 3, 3])
		for (const gap of scene.interruptions) pen.text(gap.what, (gap.from + gap.to) / 2, 0, { taken, dy: -8, colour: FAINT })
		ways(pen, scene, shown, taken)
		marks(pen, scene, shown, taken)
		for (const { path, what, film } of scene.decals) {
			const loop = film[0]
			if (path !== shown.open || !loop) continue
			// above its film, so that it is not covered
			const top = loop.reduce((best, y, k) => (k % 2 === 1 && y > (loop[best] as number) ? k : best), 1)
			pen.text(what, loop[top - 1] as number, loop[top] as number, { taken, colour: ACCENT, bold: true, must: true })
		}
		names(pen, scene, shown.scenes.length > 1)
	})
	scaleBar(context, camera, size, shown.unit)
}

interface Box {
	readonly x: number
	readonly y: number
	readonly w: number
	readonly h: number
}

type Pen = ReturnType<typeof penOf>

function penOf(c: CanvasRenderingContext2D, camera: Camera, sceneY: number) {
	const at = (x: number, y: number) => toScreen(camera, x, y + sceneY)
	const trace = (line: Line, closed = false) => {
		for (let i = 0; i + 1 < line.length; i += 2) {
			const [x, y] = at(line[i] as number, line[i + 1] as number)
			if (i === 0) c.moveTo(x, y)
			else c.lineTo(x, y)
		}
		if (closed) c.closePath()
	}
	return {
		c,
		at,
		scale: camera.scale,
		area(loops: readonly Line[], fill: string, edge?: string) {
			c.beginPath()
			for (const loop of loops) trace(loop, true)
			c.fillStyle = fill
			c.fill('nonzero')
			if (!edge) return
			c.setLineDash([])
			c.lineWidth = 0.75
			c.strokeStyle = edge
			c.stroke()
		},
		dashed(loops: readonly Line[], dash: number[], colour: string) {
			c.beginPath()
			for (const loop of loops) trace(loop, true)
			c.setLineDash(dash)
			c.lineWidth = 1
			c.strokeStyle = colour
			c.stroke()
		},
		stroke(line: Line, colour: string, width: number, dash: number[] = []) {
			c.beginPath()
			trace(line)
			c.setLineDash(dash)
			c.lineWidth = width
			c.strokeStyle = colour
			c.stroke()
		},
		/** how far two lines are apart at the middle of the first, px */
		apart(line: Line, other: Line) {
			const i = 2 * Math.floor(line.length / 4)
			const [x, y] = [line[i] as number, line[i + 1] as number]
			let best = Number.POSITIVE_INFINITY
			for (let k = 0; k + 3 < other.length; k += 2)
				best = Math.min(
					best,
					fromSegment(x, y, other[k] as number, other[k + 1] as number, other[k + 2] as number, other[k + 3] as number),
				)
			return best * camera.scale
		},
		/** beside a place, where nothing stands yet; not at all where there is no room */
		text(
			text: string,
			x: number,
			y: number,
			{
				taken,
				dx = 0,
				dy = 0,
				colour = INK,
				bold = false,
				px = 13,
				must = false,
			}: { taken: Box[]; dx?: number; dy?: number; colour?: string; bold?: boolean; px?: number; must?: boolean },
		) {
			const [sx, sy] = at(x, y)
			c.font = `${bold ? 600 : 400} ${px}px ${FONT}`
			const w = c.measureText(text).width
			const places = [
				{ x: sx + 7 + dx, y: sy - 7 + dy },
				{ x: sx + 7 + dx, y: sy + px + 3 + dy },
				{ x: sx - 7 - w + dx, y: sy - 7 + dy },
				{ x: sx - 7 - w + dx, y: sy + px + 3 + dy },
			]
			const free = places.find(
				(p) => !taken.some((b) => p.x < b.x + b.w && b.x < p.x + w && p.y - px < b.y + b.h && b.y < p.y + 3),
			)
			const place = free ?? (must ? places[0] : undefined)
			if (!place) return
			taken.push({ x: place.x, y: place.y - px, w, h: px + 3 })
			c.setLineDash([])
			c.lineWidth = 3.5
			c.lineJoin = 'round'
			c.strokeStyle = HALO
			c.strokeText(text, place.x, place.y)
			c.fillStyle = colour
			c.fillText(text, place.x, place.y)
		},
	}
}

function ground(pen: Pen, scene: Scene) {
	pen.area(scene.ground, BARE)
	if (scene.measured) for (const loop of scene.ground) pen.stroke([...loop, ...loop.slice(0, 2)], INK, 1.5)
	else pen.dashed(scene.ground, [6, 4], FAINT)
}

/** Inks as they are printed, the film's edge thin, cuts from its rim; the one that is open stands out. */
function decals(pen: Pen, scene: Scene, open: string | undefined) {
	for (const { path, inks, film, cuts, at } of scene.decals) {
		const own = path === open
		for (const { loops, colour } of inks) pen.area(loops, colour)
		for (const loop of film) {
			const closed = [...loop, ...loop.slice(0, 2)]
			if (own) pen.stroke(closed, HALO, 4)
			pen.stroke(closed, own ? ACCENT : INK, own ? 2 : 0.6)
		}
		for (const cut of cuts) pen.stroke(cut, ACCENT, 1.25)
		if (!own) continue
		const [x, y] = pen.at(...at)
		for (const [colour, width] of [
			[HALO, 3.5],
			[ACCENT, 1.5],
		] as const) {
			pen.c.beginPath()
			for (const [dx, dy] of CROSS) {
				pen.c.moveTo(x - 7 * dx, y - 7 * dy)
				pen.c.lineTo(x + 7 * dx, y + 7 * dy)
			}
			pen.c.setLineDash([])
			pen.c.lineWidth = width
			pen.c.strokeStyle = colour
			pen.c.stroke()
		}
	}
}

/** Hatched from where the baseline measures no further, away from it. */
function limit(pen: Pen, { limit: ends, box }: Scene) {
	const { c } = pen
	for (const end of ends) {
		const inView = end.some((v, i) => i % 2 === 1 && v > box.minY - 15 && v < box.maxY + 15)
		if (!inView) continue
		pen.stroke(end, FAINT, 1, [2, 2])
		const outward = (end[1] as number) + (end[end.length - 1] as number) < 0 ? 1 : -1
		c.beginPath()
		for (let i = 0; i + 1 < end.length; i += 4) {
			const [x, y] = pen.at(end[i] as number, end[i + 1] as number)
			c.moveTo(x, y)
			c.lineTo(x + 5, y + 7 * outward)
		}
		c.setLineDash([])
		c.lineWidth = 0.75
		c.strokeStyle = FAINT
		c.stroke()
	}
}

/** Every tape faintly; the one whose row has the focus as a dimension line. */
function ways(pen: Pen, { hand }: Scene, { readings, focused, says }: Shown, taken: Box[]) {
	for (const { index, ways: own } of readings) {
		if (index === focused) continue
		for (const way of own) if (way.hand === hand) pen.stroke(way.points, 'rgba(107,101,90,0.35)', 1, way.air ? [4, 3] : [])
	}
	const one = readings.find(({ index }) => index === focused)
	for (const way of one?.ways ?? []) {
		if (way.hand !== hand) continue
		const { points } = way
		pen.stroke(points, ACCENT, 2.5, way.air ? [7, 4] : [])
		for (const [i, k] of [
			[0, 2],
			[points.length - 2, points.length - 4],
		] as const)
			arrowHead(pen, points[i] as number, points[i + 1] as number, points[k] as number, points[k + 1] as number)
		const middle = 2 * Math.floor(points.length / 4)
		const [x, y] =
			points.length === 4
				? [((points[0] as number) + (points[2] as number)) / 2, ((points[1] as number) + (points[3] as number)) / 2]
				: [points[middle] as number, points[middle + 1] as number]
		if (says) pen.text(says, x, y, { taken, colour: ACCENT, bold: true, px: 17, must: true })
	}
}

function arrowHead(pen: Pen, x: number, y: number, fromX: number, fromY: number) {
	const [tx, ty] = pen.at(x, y)
	const [fx, fy] = pen.at(fromX, fromY)
	const a = Math.atan2(ty - fy, tx - fx)
	const { c } = pen
	c.beginPath()
	c.moveTo(tx, ty)
	for (const turn of [2.7, -2.7]) c.lineTo(tx + 10 * Math.cos(a + turn), ty + 10 * Math.sin(a + turn))
	c.closePath()
	c.fillStyle = ACCENT
	c.fill()
}

function marks(pen: Pen, scene: Scene, { wrong }: Shown, taken: Box[]) {
	const { c } = pen
	for (const mark of scene.marks) {
		const [x, y] = pen.at(mark.x, mark.y)
		const bad = wrong.has(mark.key) || mark.inDoubt
		const colour = bad ? ACCENT : INK
		if (mark.ellipse && mark.ellipse.major * pen.scale > 7) {
			c.beginPath()
			c.ellipse(
				x,
				y,
				mark.ellipse.major * pen.scale,
				mark.ellipse.minor * pen.scale,
				(-mark.ellipse.angleDeg * Math.PI) / 180,
				0,
				2 * Math.PI,
			)
			c.setLineDash([1, 2])
			c.lineWidth = 1
			c.strokeStyle = colour
			c.stroke()
		}
		for (const [colourOf, width] of [
			[HALO, 4],
			[colour, bad ? 2.5 : 1.5],
		] as const) {
			c.beginPath()
			if (mark.datum) {
				c.moveTo(x + 5, y)
				c.arc(x, y, 5, 0, 2 * Math.PI)
				for (const [dx, dy] of CROSS) {
					c.moveTo(x - 8 * dx, y - 8 * dy)
					c.lineTo(x + 8 * dx, y + 8 * dy)
				}
			} else {
				for (const [dx, dy] of SLANTED) {
					c.moveTo(x - 5 * dx, y - 5 * dy)
					c.lineTo(x + 5 * dx, y + 5 * dy)
				}
			}
			c.setLineDash([])
			c.lineWidth = width
			c.strokeStyle = colourOf
			c.stroke()
		}
		pen.text(bad ? `${mark.id} ?` : mark.id, mark.x, mark.y, { taken, colour, bold: mark.datum || bad })
	}
}
const CROSS = [
	[1, 0],
	[0, 1],
] as const
const SLANTED = [
	[0.8, 0.8],
	[0.8, -0.8],
] as const

/** FRONT with an arrow, and the sides. */
function names(pen: Pen, { box, frontX, hand }: Scene, several: boolean) {
	const { c } = pen
	const front = frontX === -1 ? box.minX : box.maxX
	const rear = frontX === -1 ? box.maxX : box.minX
	const [fx, fy] = pen.at(front, 0)
	const x = fx + frontX * 18
	c.setLineDash([])
	c.lineWidth = 2
	c.strokeStyle = INK
	c.fillStyle = INK
	c.beginPath()
	c.moveTo(x, fy - 14)
	c.lineTo(x + frontX * 44, fy - 14)
	c.stroke()
	c.beginPath()
	c.moveTo(x + frontX * 54, fy - 14)
	c.lineTo(x + frontX * 42, fy - 20)
	c.lineTo(x + frontX * 42, fy - 8)
	c.closePath()
	c.fill()
	c.font = `600 13px ${FONT}`
	c.textAlign = frontX === -1 ? 'right' : 'left'
	c.fillText('FRONT', x + frontX * 2, fy - 22)
	c.textAlign = frontX === -1 ? 'left' : 'right'
	const side = (text: string, y: number) => {
		const [sx, sy] = pen.at(rear, y)
		c.fillText(text, sx - frontX * 16, sy + 5)
	}
	if (hand === 'centre') {
		// on a centreline panel the right side is drawn above
		side('RIGHT', box.maxY / 2)
		side('LEFT', box.minY / 2)
	} else if (several || hand) side(hand.toUpperCase(), (box.minY + box.maxY) / 2)
	c.textAlign = 'left'
}

/** A bar of a round length in the corner: the picture is true along the baseline and across it. */
function scaleBar(c: CanvasRenderingContext2D, { scale }: Camera, { height }: { readonly height: number }, unit: Shown['unit']) {
	const per = unit === 'in' ? 25.4 : 1
	const steps = unit === 'in' ? [0.25, 0.5, 1, 2, 4, 6, 12, 24] : [1, 2, 5, 10, 20, 50, 100, 200, 500]
	const count = steps.find((step) => step * per * scale > 70) ?? 1000 / per
	const length = count * per
	c.setLineDash([])
	c.lineWidth = 2
	c.strokeStyle = INK
	c.fillStyle = INK
	c.beginPath()
	c.moveTo(16, height - 22)
	c.lineTo(16, height - 16)
	c.lineTo(16 + length * scale, height - 16)
	c.lineTo(16 + length * scale, height - 22)
	c.stroke()
	c.font = `400 13px ${FONT}`
	c.fillText(`${count} ${unit}`, 22 + length * scale, height - 14)
}

/** From a place to a segment. */
export function fromSegment(x: number, y: number, ax: number, ay: number, bx: number, by: number): number {
	const [dx, dy] = [bx - ax, by - ay]
	const square = dx * dx + dy * dy
	const t = square > 0 ? Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / square)) : 0
	return Math.hypot(x - ax - t * dx, y - ay - t * dy)
}
