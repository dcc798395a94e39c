/** The sheets on the floor, in true proportion to each other, with the pieces on them. */
import { useId, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks'
import { layFloor } from '../floorLayout.ts'
import type { FloorSheet, FloorView, LaidPiece } from '../floorView.ts'
import type { Line } from '../scene.ts'

/** Left free round all of them, px. */
const AROUND = 24
/** Narrower sheets have no room for the numbers of their pieces, px. */
const LEAST_FOR_NUMBERS = 60

export function FloorPicture({ floor, stale }: { readonly floor: FloorView; readonly stale: boolean }) {
	const holder = useRef<HTMLDivElement>(null)
	const [size, setSize] = useState({ width: 0, height: 0 })
	useLayoutEffect(() => {
		const element = holder.current
		if (!element) return
		const watcher = new ResizeObserver(() => setSize({ width: element.clientWidth, height: element.clientHeight }))
		watcher.observe(element)
		return () => watcher.disconnect()
	}, [])
	const room = { width: Math.max(1, size.width - 2 * AROUND), height: Math.max(1, size.height - 2 * AROUND) }
	const laid = useMemo(() => layFloor(floor.blocks, room.width / room.height), [floor, room.width, room.height])
	const scale = Math.min(room.width / laid.widthMm, room.height / laid.heightMm)
	const left = AROUND + (room.width - scale * laid.widthMm) / 2
	const what = `${floor.count} sheets of ${floor.paper} as they lie on the floor`
	return (
		<div ref={holder} class={stale ? 'floor stale' : 'floor'}>
			{size.width > 0 && (
				<svg width={size.width} height={size.height} role="img" aria-label={what}>
					{laid.sheets.map(({ sheet, x, y }) => (
						<SheetPicture key={sheet.name} sheet={sheet} x={left + scale * x} y={AROUND + scale * y} scale={scale} />
					))}
				</svg>
			)}
			{stale && <p class="stale-note">being laid out anew</p>}
		</div>
	)
}

interface At {
	readonly sheet: FloorSheet
	/** lower left corner, px */
	readonly x: number
	readonly y: number
	/** px per mm */
	readonly scale: number
}

function SheetPicture({ sheet, x, y, scale }: At) {
	const { widthMm, heightMm, live, square, pieces, drawn, name, number } = sheet
	const px = scale * widthMm
	const words = pieces.map((piece) => `${piece.number} ${piece.title}`).join('; ')
	return (
		<g transform={`translate(${x} ${y})`}>
			<title>{`Sheet ${number}: ${words || 'the map of all sheets'}`}</title>
			<g transform={`scale(${scale} ${-scale})`}>
				<rect class="paper" width={widthMm} height={heightMm} />
				<rect class="live" x={live.minX} y={live.minY} width={live.maxX - live.minX} height={live.maxY - live.minY} />
				<rect
					class="square"
					x={square.minX}
					y={square.minY}
					width={square.maxX - square.minX}
					height={square.maxY - square.minY}
				/>
				<path class="drawn" d={drawn.map(pathOf).join('')} />
				{pieces.map((piece) => (
					<PieceShape key={piece.number} piece={piece} />
				))}
			</g>
			{px >= LEAST_FOR_NUMBERS &&
				numbersOf(pieces, scale).map(({ number: own, at }) => (
					<text key={own} class="piece-number" x={at.x} y={at.y} text-anchor="middle">
						{own}
					</text>
				))}
			<text class="sheet-name" y={14}>
				{pieces.length === 0 ? `${number}: map` : px < 84 ? number : `${number}: ${name}`}
			</text>
		</g>
	)
}

/** What lies on another sheet is cut off. */
function PieceShape({ piece: { clip, loops, working } }: { readonly piece: LaidPiece }) {
	const id = useId()
	return (
		<>
			<clipPath id={id}>
				<rect x={clip.minX} y={clip.minY} width={clip.maxX - clip.minX} height={clip.maxY - clip.minY} />
			</clipPath>
			<g clip-path={`url(#${id})`}>
				<path class="piece" d={loops.map((loop) => `${pathOf(loop)}Z`).join('')} />
				<path class="working" d={working.map(pathOf).join('')} />
			</g>
		</>
	)
}

const pathOf = (line: Line) => {
	let d = ''
	for (let i = 0; i + 1 < line.length; i += 2) d += `${i === 0 ? 'M' : 'L'}${line[i]} ${line[i + 1]}`
	return d
}

/** Room that a number takes, px. */
const NUMBER = { width: 30, height: 14 }

/** Numbers in the middles of pieces, px, as far as none stands on another: the sheet's title has them all. */
function numbersOf(pieces: readonly LaidPiece[], scale: number) {
	const placed: { readonly number: number; readonly at: { readonly x: number; readonly y: number } }[] = []
	for (const piece of pieces) {
		const middle = middleOf(piece)
		const at = middle && { x: scale * middle.x, y: -scale * middle.y + 4 }
		const clear = (one: (typeof placed)[number]) =>
			at && (Math.abs(one.at.x - at.x) > NUMBER.width || Math.abs(one.at.y - at.y) > NUMBER.height)
		if (at && placed.every(clear)) placed.push({ number: piece.number, at })
	}
	return placed
}

/** The middle of what is seen of it on this sheet. */
function middleOf({ clip, loops }: LaidPiece): { readonly x: number; readonly y: number } | undefined {
	const xs: number[] = []
	const ys: number[] = []
	for (const loop of loops) {
		for (let i = 0; i + 1 < loop.length; i += 2) {
			const [x, y] = [loop[i] as number, loop[i + 1] as number]
			if (x < clip.minX || x > clip.maxX || y < clip.minY || y > clip.maxY) continue
			xs.push(x)
			ys.push(y)
		}
	}
	if (xs.length === 0) return undefined
	return { x: (Math.min(...xs) + Math.max(...xs)) / 2, y: (Math.min(...ys) + Math.max(...ys)) / 2 }
}
