/** What page and server say to each other about files: JSON both ways. */

/** A job of the folder. */
export interface JobEntry {
	/** its folder's name, or its file's */
	readonly name: string
	readonly title: string
	/** the file could not be read as a job: it opens all the same, with the text to mend */
	readonly broken: boolean
}

/** The folder that is served: the same for the same folder at every start. */
export interface Folder {
	readonly id: string
}

/** A text as it is on the disk. `revision` grows with every change, whoever made it. */
export interface StoredText {
	readonly text: string
	readonly revision: number
	/** the file as a person would name it */
	readonly file: string
}

export interface Saved {
	readonly revision: number
}

/** A text that was not saved because the file had been changed elsewhere: both are kept. */
export interface Changed {
	readonly now: StoredText
	/** the version that holds what was to be saved */
	readonly kept: string
}

export interface Version {
	readonly id: string
	/** ISO date and time */
	readonly when: string
	/** why it was kept */
	readonly why: 'saved' | 'refused' | 'outside'
	readonly bytes: number
}

/** What a new job begins from. */
export type Beginning =
	| { readonly from: 'starter'; readonly starter: string; readonly name: string }
	| { readonly from: 'table'; readonly csv: string; readonly name: string; readonly unit: 'mm' | 'in' }
	| {
			readonly from: 'answers'
			readonly title: string
			readonly panel: string
			readonly hand: string
			readonly hook: string
			readonly unit: 'mm' | 'in'
			readonly name: string
	  }

export interface Starter {
	readonly name: string
	readonly title: string
	readonly about: string
}
