export type Severity = 'error' | 'warning' | 'note'

/** Where on which panel. Station and girth in mm; girth is unsigned beside a side. */
export interface Place {
	readonly panel: string
	readonly side?: string
	/** which side of the baseline, on a panel of one side */
	readonly line?: 'above' | 'below'
	readonly s?: number
	readonly g?: number
}

/**
 * What is wrong, where, and what to do about it. Problems are values: nothing on the way from a
 * job to its templates throws because of what the job says.
 */
export interface Problem {
	/** UPPER_SNAKE, stable */
	readonly code: string
	readonly severity: Severity
	/** JSON pointer into the job (or shop) file; '' is the whole file */
	readonly path: string
	readonly file?: string
	readonly line?: number
	readonly column?: number
	readonly place?: Place
	/** what stands there now, as a full phrase */
	readonly found: string
	readonly expected: string
	/** one thing to do, in the imperative */
	readonly fix: string
}

/** A stage's answer: its value where it could be made, and everything that was noticed. */
export interface Outcome<T> {
	readonly value?: T
	readonly problems: readonly Problem[]
}
