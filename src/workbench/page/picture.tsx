/** The panel, drawn large: panned and zoomed by wheel, drag and pinch; a touch on a tape or a mark goes to its row. */
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks'
import type { Held, PictureDrag } from '../pictureDrag.ts'
import { type Camera, fitted, offsetsOf, panned, toPanel, wholeBox, zoomed } from './camera.ts'
import { fromSegment, paint, type Shown } from './paint.ts'
import { PictureKeys } from './pictureKeys.tsx'

export interface PictureProps extends Shown {
	/** another panel starts with all of it in view */
	readonly panel: string
	readonly describe: string
	/** of the job that it is a picture of: what has been drawn says so on the canvas */
	readonly revision: string
	readonly picked: (reading: number) => void
	/** what can be dragged: edges of bands, a decal */
	readonly drag?: PictureDrag | undefined
}

/** A finger is so wide, px. */
const TOUCH_PX = 14
/** A mouse points so well, px. */
const POINT_PX = 7
/** Less than this is a touch, not a drag, px. */
const DRAG_PX = 5

export function Picture(props: PictureProps) {
	const { panel, describe, scenes } = props
	const holder = useRef<HTMLDivElement>(null)
	const canvas = useRef<HTMLCanvasElement>(null)
	const [size, setSize] = useState({ width: 0, height: 0 })
	const [camera, setCamera] = useState<Camera>()
	const fits = useRef(true)

	useLayoutEffect(() => {
		const element = holder.current
		if (!element) return
		const watcher = new ResizeObserver(() => setSize({ width: element.clientWidth, height: element.clientHeight }))
		watcher.observe(element)
		return () => watcher.disconnect()
	}, [])
	useEffect(() => {
		fits.current = true
	}, [panel])
	// Until somebody moves it, the picture shows all there is.
	useLayoutEffect(() => {
		const box = wholeBox(scenes)
		if (box && size.width > 0 && fits.current) setCamera(fitted(box, size.width, size.height))
	}, [scenes, size, panel])

	useLayoutEffect(() => {
		const element = canvas.current
		const context = element?.getContext('2d')
		if (!element || !context || !camera || size.width === 0) return
		const draw = () => {
			const ratio = window.devicePixelRatio || 1
			const [width, height] = [Math.round(size.width * ratio), Math.round(size.height * ratio)]
			if (element.width !== width) element.width = width
			if (element.height !== height) element.height = height
			context.setTransform(ratio, 0, 0, ratio, 0, 0)
			paint(context, camera, { ...props, open: props.drag?.path }, size)
			element.dataset.drawn = props.stale ? '' : props.revision
		}
		// What is new is drawn at once; a hand that moves the picture gives more places than a screen shows.
		if (!props.stale && element.dataset.drawn !== props.revision) return draw()
		const frame = requestAnimationFrame(draw)
		return () => cancelAnimationFrame(frame)
	})

	const fingers = useRef(new Map<number, { x: number; y: number }>())
	const moved = useRef(0)
	const move = (next: (camera: Camera) => Camera) => {
		fits.current = false
		setCamera((c) => (c ? next(c) : c))
	}
	const at = (event: MouseEvent) => {
		const box = holder.current?.getBoundingClientRect()
		return { x: event.clientX - (box?.left ?? 0), y: event.clientY - (box?.top ?? 0) }
	}
	const held = useRef<{ readonly pointer: number; readonly scene: number; readonly grip: Held } | undefined>(undefined)
	const [figure, setFigure] = useState<{ readonly x: number; readonly y: number; readonly text: string }>()
	const onScene = (index: number, p: { x: number; y: number }) => {
		const [x, y] = toPanel(camera ?? { scale: 1, x: 0, y: 0 }, p.x, p.y)
		return { x, y: y - (offsetsOf(scenes)[index] ?? 0) }
	}
	/** What can be dragged under a pointer. */
	const gripUnder = (event: PointerEvent) => {
		const reach = (event.pointerType === 'mouse' ? POINT_PX : TOUCH_PX) / (camera?.scale ?? 1)
		for (const [scene, each] of scenes.entries()) {
			const { x, y } = onScene(scene, at(event))
			const grip = camera && props.drag?.begin(each, x, y, reach)
			if (grip) return { pointer: event.pointerId, scene, grip }
		}
		return undefined
	}
	const pull = (event: PointerEvent) => {
		if (!held.current) return
		const p = at(event)
		const { x, y } = onScene(held.current.scene, p)
		setFigure({ ...p, text: held.current.grip.to(x, y) })
	}
	const letGo = (event: PointerEvent) => {
		fingers.current.delete(event.pointerId)
		if (held.current?.pointer !== event.pointerId) return false
		held.current.grip.end()
		held.current = undefined
		setFigure(undefined)
		return true
	}
	return (
		<div
			ref={holder}
			class={`picture${props.stale ? ' stale' : ''}`}
			onWheel={(event) => {
				event.preventDefault()
				const p = at(event)
				move((c) => zoomed(c, Math.exp(-event.deltaY * 0.0015), p.x, p.y))
			}}
			onPointerDown={(event) => {
				// A button of the picture is a button: what is captured here would never reach it.
				if ((event.target as Element).closest('button')) return
				;(event.currentTarget as HTMLElement).setPointerCapture(event.pointerId)
				held.current ??= fingers.current.size === 0 ? gripUnder(event) : undefined
				if (held.current) {
					// the arrow keys go on from where the hand lets go
					event.preventDefault()
					if (event.pointerType === 'mouse')
						holder.current?.querySelector<HTMLElement>('.picture-keys button')?.focus({ preventScroll: true })
					return pull(event)
				}
				fingers.current.set(event.pointerId, at(event))
				moved.current = 0
			}}
			onPointerMove={(event) => {
				if (held.current) return held.current.pointer === event.pointerId ? pull(event) : undefined
				if (props.drag && fingers.current.size === 0) event.currentTarget.style.cursor = gripUnder(event) ? props.drag.cursor : ''
				const before = fingers.current.get(event.pointerId)
				if (!before) return
				const p = at(event)
				const others = [...fingers.current].filter(([id]) => id !== event.pointerId).map(([, q]) => q)
				moved.current += Math.hypot(p.x - before.x, p.y - before.y)
				fingers.current.set(event.pointerId, p)
				const other = others[0]
				if (other) {
					const [was, is] = [Math.hypot(before.x - other.x, before.y - other.y), Math.hypot(p.x - other.x, p.y - other.y)]
					if (was > 0 && is > 0)
						move((c) => panned(zoomed(c, is / was, other.x, other.y), (p.x - before.x) / 2, (p.y - before.y) / 2))
				} else if (moved.current > DRAG_PX) move((c) => panned(c, p.x - before.x, p.y - before.y))
			}}
			onPointerUp={(event) => {
				if (letGo(event) || moved.current > DRAG_PX || !camera) return
				const p = at(event)
				const meant = scenes.some((scene, i) => {
					const { x, y } = onScene(i, p)
					return props.drag?.tapped?.(scene, x, y)
				})
				if (meant) return
				const reading = readingAt(props, camera, p.x, p.y)
				if (reading !== undefined) props.picked(reading)
			}}
			onPointerCancel={letGo}
		>
			<canvas ref={canvas} role="img" aria-label={describe} />
			{props.drag?.pressed && <PictureKeys drag={props.drag} />}
			<div class="picture-buttons">
				<button type="button" onClick={() => move((c) => zoomed(c, 1.4, size.width / 2, size.height / 2))}>
					Larger
				</button>
				<button type="button" onClick={() => move((c) => zoomed(c, 1 / 1.4, size.width / 2, size.height / 2))}>
					Smaller
				</button>
				<button
					type="button"
					onClick={() => {
						fits.current = true
						const box = wholeBox(scenes)
						if (box) setCamera(fitted(box, size.width, size.height))
					}}
				>
					Whole panel
				</button>
			</div>
			{figure && (
				<output class="drag-figure" style={{ left: `${figure.x}px`, top: `${figure.y}px` }}>
					{figure.text}
				</output>
			)}
			{props.stale && <p class="stale-note">{scenes.length > 0 ? 'as it was before the last figures' : 'working it out…'}</p>}
		</div>
	)
}

/** The reading whose tape runs nearest to a place of the screen. */
function readingAt({ scenes, readings }: Shown, camera: Camera, sx: number, sy: number): number | undefined {
	const offsets = offsetsOf(scenes)
	let best: { readonly px: number; readonly index: number } | undefined
	scenes.forEach(({ hand }, i) => {
		const [x, y] = toPanel(camera, sx, sy)
		const own = y - (offsets[i] ?? 0)
		for (const { index, ways } of readings) {
			for (const { hand: on, points } of ways) {
				if (on !== hand) continue
				for (let k = 0; k + 3 < points.length; k += 2) {
					const mm = fromSegment(
						x,
						own,
						points[k] as number,
						points[k + 1] as number,
						points[k + 2] as number,
						points[k + 3] as number,
					)
					const px = mm * camera.scale
					if (px < TOUCH_PX && (!best || px < best.px)) best = { px, index }
				}
			}
		}
	})
	return best?.index
}
