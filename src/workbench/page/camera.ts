/** From the panel's mm to the screen and back. */
import type { Box } from '../../drawing/drawing.ts'
import type { Scene } from '../scene.ts'

export interface Camera {
	/** px per mm */
	readonly scale: number
	/** where the origin of the panel stands on the screen, px */
	readonly x: number
	readonly y: number
}

export const LEAST_SCALE = 0.2
export const MOST_SCALE = 60
/** Between the left and the right one of a pair, mm. */
const BETWEEN_MM = 40

export const toScreen = ({ scale, x, y }: Camera, px: number, py: number): readonly [number, number] => [
	x + scale * px,
	y - scale * py,
]
export const toPanel = ({ scale, x, y }: Camera, sx: number, sy: number): readonly [number, number] => [
	(sx - x) / scale,
	(y - sy) / scale,
]

/** How far up each scene is moved: of a pair the left one stands above the right one. */
export function offsetsOf(scenes: readonly Scene[]): readonly number[] {
	let low = 0
	return scenes.map(({ box }, i) => {
		const dy = i === 0 ? 0 : low - BETWEEN_MM - box.maxY
		low = dy + box.minY
		return dy
	})
}

/** Round all scenes. */
export function wholeBox(scenes: readonly Scene[]): Box | undefined {
	const offsets = offsetsOf(scenes)
	return scenes.reduce<Box | undefined>((whole, { box }, i) => {
		const dy = offsets[i] ?? 0
		const moved = { minX: box.minX, maxX: box.maxX, minY: box.minY + dy, maxY: box.maxY + dy }
		return whole
			? {
					minX: Math.min(whole.minX, moved.minX),
					maxX: Math.max(whole.maxX, moved.maxX),
					minY: Math.min(whole.minY, moved.minY),
					maxY: Math.max(whole.maxY, moved.maxY),
				}
			: moved
	}, undefined)
}

/** All of it in view, with room for the words beside it. */
export function fitted(box: Box, width: number, height: number): Camera {
	const [left, around] = [96, 36]
	const scale = Math.min(
		MOST_SCALE,
		Math.max(LEAST_SCALE, Math.min((width - 2 * left) / (box.maxX - box.minX), (height - 2 * around) / (box.maxY - box.minY))),
	)
	return {
		scale,
		x: width / 2 - (scale * (box.minX + box.maxX)) / 2,
		y: height / 2 + (scale * (box.minY + box.maxY)) / 2,
	}
}

/** Larger or smaller about a place of the screen. */
export function zoomed(camera: Camera, by: number, sx: number, sy: number): Camera {
	const scale = Math.min(MOST_SCALE, Math.max(LEAST_SCALE, camera.scale * by))
	const f = scale / camera.scale
	return { scale, x: sx + (camera.x - sx) * f, y: sy + (camera.y - sy) * f }
}

export const panned = (camera: Camera, dx: number, dy: number): Camera => ({ ...camera, x: camera.x + dx, y: camera.y + dy })
