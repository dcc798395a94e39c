/** The panel, drawn large: panned and zoomed by wheel, drag and pinch; a touch on a tape or a mark goes to its row. */
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks'
import { type Camera, fitted, offsetsOf, panned, toPanel, wholeBox, zoomed } from './camera.ts'
import { fromSegment, paint, type Shown } from './paint.ts'

export interface PictureProps extends Shown {
	/** another panel starts with all of it in view */
	readonly panel: string
	readonly describe: string
	readonly picked: (reading: number) => void
}

/** A finger is so wide, px. */
const TOUCH_PX = 14
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
		const frame = requestAnimationFrame(() => {
			const ratio = window.devicePixelRatio || 1
			const [width, height] = [Math.round(size.width * ratio), Math.round(size.height * ratio)]
			if (element.width !== width) element.width = width
			if (element.height !== height) element.height = height
			context.setTransform(ratio, 0, 0, ratio, 0, 0)
			paint(context, camera, props, size)
		})
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
				;(event.currentTarget as HTMLElement).setPointerCapture(event.pointerId)
				fingers.current.set(event.pointerId, at(event))
				moved.current = 0
			}}
			onPointerMove={(event) => {
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
				fingers.current.delete(event.pointerId)
				if (moved.current > DRAG_PX || !camera) return
				const p = at(event)
				const reading = readingAt(props, camera, p.x, p.y)
				if (reading !== undefined) props.picked(reading)
			}}
			onPointerCancel={(event) => fingers.current.delete(event.pointerId)}
		>
			<canvas ref={canvas} role="img" aria-label={describe} />
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
			{props.stale && <p class="stale-note">as it was before the last figures</p>}
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
