/** Flows of blocks put onto pages: nothing is cut in two, and a heading is never alone at the foot of a page. */
import type { Item } from '../drawing/drawing.ts'
import type { Block, Flow } from './measuringSheetTable.ts'

export interface Room {
	readonly x: number
	readonly widthMm: number
	/** of the first page and of those after it: where content starts and where it must end */
	readonly top: number
	readonly bottom: number
}

/** Between two flows. */
const BETWEEN_MM = 2

/** The items of each page. A block that is higher than a page stands on one of its own and runs over its foot. */
export function pagesOf(flows: readonly Flow[], room: Room): readonly (readonly Item[])[] {
	const pages: Item[][] = [[]]
	let y = room.top
	const put = (block: Block) => {
		;(pages.at(-1) as Item[]).push(...block.draw({ x: room.x, top: y, widthMm: room.widthMm }))
		y -= block.heightMm
	}
	const turn = () => {
		pages.push([])
		y = room.top
	}
	for (const { heading, blocks } of flows) {
		if (blocks.length === 0) continue
		let headed = heading === undefined
		for (const [i, block] of blocks.entries()) {
			const head = headed ? undefined : heading?.(false)
			if (y < room.top && y - (head?.heightMm ?? 0) - needed(blocks, i) < room.bottom) {
				turn()
				if (headed && heading) put(heading(true))
			}
			if (head) put(head)
			headed = true
			put(block)
		}
		y -= BETWEEN_MM
	}
	return pages
}

/** The block with those that it must not be parted from. */
function needed(blocks: readonly Block[], from: number): number {
	let height = 0
	for (let i = from; i < blocks.length; i++) {
		const block = blocks[i] as Block
		height += block.heightMm
		if (!block.withNext) break
	}
	return height
}
