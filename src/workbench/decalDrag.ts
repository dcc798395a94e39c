/** A decal dragged in the picture, or moved and turned by keys: what becomes of the figures of its place. */
import { formatLength } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import { stepMm } from './bandDrag.ts'
import type { DecalHold, MovedFigure, SceneDecal } from './decalScene.ts'
import { typedLength } from './ledger.ts'
import type { Line, Scene } from './scene.ts'

/** A value of the decal's place, as it is written into the job. */
export interface PlaceEdit {
	readonly key: MovedFigure['key'] | 'side' | 'angle'
	readonly value: number | string
}
export interface Moved {
	readonly edits: readonly PlaceEdit[]
	readonly says: string
}

/** The decal of a path, or any, at a place of the flat spread. */
export function decalAt({ decals }: Pick<Scene, 'decals'>, x: number, y: number, path?: string): SceneDecal | undefined {
	return decals.findLast((decal) => (path === undefined || decal.path === path) && decal.film.some((loop) => inside(loop, x, y)))
}

/** Even-odd: a film has no holes. */
function inside(loop: Line, x: number, y: number): boolean {
	let within = false
	for (let i = 0, k = loop.length - 2; i < loop.length; k = i, i += 2) {
		const [ax, ay, bx, by] = [loop[i], loop[i + 1], loop[k], loop[k + 1]] as [number, number, number, number]
		if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) within = !within
	}
	return within
}

/** Moved by so much in the picture: to whole steps, and as it was until the first of them. Undefined where it cannot be moved. */
export function movedBy(hold: DecalHold, dx: number, dy: number, unit: Unit): Moved | undefined {
	if (!('figures' in hold)) return undefined
	const step = stepMm(unit)
	const all = hold.figures.map((figure) => {
		const by = figure.perX * dx + figure.perY * dy
		return figureAs(figure, Math.abs(by) < step / 2 ? figure.startMm : Math.round((figure.startMm + by) / step) * step, unit)
	})
	return { edits: all.flatMap(({ edits }) => edits), says: all.map(({ says }) => says).join(', ') }
}

/** So many steps for one key, and with shift. */
const LARGE = 10
export const TURN_DEG = 0.5
const ARROWS: Readonly<Record<string, readonly [number, number]>> = {
	ArrowLeft: [-1, 0],
	ArrowRight: [1, 0],
	ArrowUp: [0, 1],
	ArrowDown: [0, -1],
}

/** What a key makes of it: undefined where it is none of its keys; without edits where it says why not. */
export function movedByKey(hold: DecalHold, key: string, large: boolean, unit: Unit): Moved | undefined {
	const by = key === ',' || key === '<' ? -TURN_DEG : key === '.' || key === '>' ? TURN_DEG : undefined
	const arrow = ARROWS[key]
	if (by === undefined && !arrow) return undefined
	if (!('figures' in hold)) return { edits: [], says: hold.why }
	if (by !== undefined) {
		if ('why' in hold.turn) return { edits: [], says: hold.turn.why }
		const deg = Math.round(1000 * turned(hold.turn.deg + by)) / 1000
		return { edits: [{ key: 'angle', value: deg }], says: `turned by ${deg} degrees` }
	}
	const [x, y] = arrow as readonly [number, number]
	const share = (figure: MovedFigure) => figure.perX * x + figure.perY * y
	// One key, one figure: the one that moves most with it.
	const most = hold.figures.reduce((a, b) => (Math.abs(share(b)) > Math.abs(share(a)) ? b : a))
	if (Math.abs(share(most)) < LEAST_SHARE) return { edits: [], says: 'it moves along its line alone' }
	return figureAs(most, most.startMm + Math.sign(share(most)) * stepMm(unit) * (large ? LARGE : 1), unit)
}
/** A figure that moves less than so with a key is not what the key is pressed for. */
const LEAST_SHARE = 0.3

/** From -180 to 180 degrees. */
const turned = (deg: number) => (deg > 180 ? deg - 360 : deg < -180 ? deg + 360 : deg)

/** A figure written as the job writes lengths: not below nothing, or counted to the other side there. */
function figureAs({ key, what, notNegative, sides, startMm }: MovedFigure, wantedMm: number, unit: Unit): Moved {
	const signed = notNegative ? Math.max(0, wantedMm) : wantedMm
	const mm = sides ? Math.abs(signed) : signed
	const { text } = formatLength(mm, unit, unit === 'mm' ? { decimals: 3 } : { fraction: 64 })
	const typed = typedLength(text.replace(/ (mm|in)$/, ''), unit)
	const value = 'why' in typed ? text : typed.value
	const says = `${what} ${formatLength(mm, unit, unit === 'in' ? { fraction: 32 } : { decimals: 1 }).text}`
	if (!sides) return { edits: [{ key, value }], says }
	const side = signed < 0 ? sides[1] : sides[0]
	const crossed = signed < 0 !== startMm < 0 || startMm === 0
	return {
		edits: [{ key, value }, ...(crossed && mm > 0 ? [{ key: 'side' as const, value: side }] : [])],
		says: `${says} ${side}`,
	}
}
