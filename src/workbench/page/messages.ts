/** What the page asks of the engine, which works in threads of their own, and what comes back. */
import type { ShownBy } from '../../engine/ready.ts'
import type { Entered } from '../../job/enter.ts'
import type { Problem } from '../../job/problem.ts'
import type { Unit } from '../../units/length.ts'
import type { ArtworkView } from '../decalView.ts'
import type { FloorView, Stock } from '../floorView.ts'
import type { PaintworkView } from '../paintworkView.ts'
import type { FileWanted, MadeFile } from '../prints.ts'
import type { JobView } from '../view.ts'
import type { Texts } from './readTexts.ts'

/** The job as far as its scheme, with the scenes of the panel that is looked at. */
export interface Ask extends Texts {
	readonly id: number
	/** id of the panel that is looked at */
	readonly looked?: string
	/** and where strips would lie: what is measured on tape and on old paint is measured there */
	readonly stations?: boolean
}

export interface Answer {
	readonly id: number
	/** absent where the text is no job: the problems say why */
	readonly view?: JobView
	readonly problems: readonly Problem[]
	/** of a fault of the program itself */
	readonly fault?: string
}

/** How well the lines of the panel that is looked at are known, and what to measure next, in words: worked out once the typing rests. */
export interface Ready {
	readonly panel: string
	readonly lines: readonly string[]
	readonly next: readonly string[]
	/** what would show a slip in each mark, by key */
	readonly shownBy: Readonly<Record<string, ShownBy>>
}
export interface ReadyAnswer {
	readonly id: number
	readonly ready: Ready
}

/** What sheets are made for. */
export interface OnPaper {
	/** a name for the job's folder */
	readonly folder: string
	readonly paper?: string
	readonly printer?: string
	/** panels whose sheets are printed; all of them where not said */
	readonly only?: readonly string[]
	/** for film that is applied face down */
	readonly mirrored?: boolean
	/** the film of a cutter, mm */
	readonly film?: { readonly width: number; readonly height: number }
}

export interface EnterWanted {
	readonly what: 'enter'
	/** the text of a table, and its file's name */
	readonly table: string
	readonly file: string
	/** the panel of rows that name none, and the only one that is entered */
	readonly panel?: string
	/** of figures that say none */
	readonly unit?: Unit
}

/** A drawing that was dropped, not yet beside the job: is it one, and how large. */
export interface DrawingWanted {
	readonly what: 'drawing'
	readonly file: string
	readonly bytes: Uint8Array
	/** known of what is printed, mm */
	readonly width?: number
	readonly height?: number
	readonly unit: Unit
}

export interface PaperAsk extends Texts {
	readonly id: number
	readonly want:
		| ({ readonly what: 'floor' } & OnPaper)
		| ({ readonly what: 'file'; readonly file: FileWanted } & OnPaper)
		| EnterWanted
		| DrawingWanted
		/** the text of the job with another unit */
		| { readonly what: 'unit'; readonly unit: Unit }
		/** tape and paint of the whole vehicle */
		| { readonly what: 'paintwork' }
		/** a picture of them: the key of a stage, or "films/" and a panel */
		| { readonly what: 'picture'; readonly of: string }
}

export interface PaperAnswer {
	readonly id: number
	readonly floor?: FloorView
	readonly stock?: Stock
	readonly file?: MadeFile
	readonly entered?: Entered
	/** what a drawing comes to */
	readonly artwork?: ArtworkView
	/** absent where nothing is painted yet */
	readonly paintwork?: PaintworkView
	/** SVG */
	readonly picture?: string
	/** the text of the job; absent where it is none */
	readonly rewritten?: string
	readonly problems: readonly Problem[]
	readonly fault?: string
}
