import type { Problem } from '../../job/problem.ts'
import type { ArtworkView } from '../decalView.ts'
import type { PictureDrag } from '../pictureDrag.ts'
import type { PanelView } from '../view.ts'
import type { Bench, PanelData } from './bench.ts'
import type { Papers } from './papers.ts'
import type { Shop } from './shop.ts'
import type { PaintworkBench } from './usePaintwork.ts'

/** What every line of the card is given. */
export interface LineProps {
	readonly bench: Bench
	/** which job of which folder it is, for what the browser keeps of it */
	readonly place: string
	/** the panel that is looked at: as written, and as worked out */
	readonly panel: PanelData
	readonly index: number
	readonly view: PanelView | undefined
	/** what decals are: those that could be read */
	readonly artwork: readonly ArtworkView[]
	readonly problems: readonly Problem[]
	/** the reading that the picture shows as a dimension */
	readonly focused: number | undefined
	readonly focus: (reading: number | undefined) => void
	/** lets the picture move the bands of a stripe or a decal, or nothing any more */
	readonly drag: (drag: PictureDrag | undefined) => void
	/** what is printed of the job, and what it is printed on */
	readonly papers: Papers
	readonly shop: Shop
	/** tape and paint, worked out while they are looked at */
	readonly paintwork: PaintworkBench
}

export const panelTitle = ({ title, id }: PanelData) => String(title ?? id ?? 'panel')
