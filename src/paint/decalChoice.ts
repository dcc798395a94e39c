/** Decals under the clear or over it: the owner's choice, and what each means. */

export interface Consequence {
	readonly code: string
	/** plain words; a report may say it in its own */
	readonly sentence: string
}

/** All common practice, no source; thickness of decals from memory. */
export const DECAL_CHOICE: Readonly<Record<'under' | 'over', readonly Consequence[]>> = {
	under: [
		{ code: 'KEEPS_FUEL_OFF', sentence: 'Clear over the decal keeps fuel, polish and washing off it.' },
		{ code: 'LEVEL_EDGE', sentence: 'Enough clear, flatted, levels the edge of the decal: a water-slide is 10 to 20 um thick.' },
		{ code: 'NOT_THE_PERIOD_LOOK', sentence: 'It looks smoother and glossier than a decal that lies on top.' },
		{ code: 'TRY_CLEAR_FIRST', sentence: 'Solvent in the clear can wrinkle a decal: spray a spare one first.' },
		{ code: 'CANNOT_BE_REPLACED', sentence: 'A spoilt decal comes off only with the clear.' },
	],
	over: [
		{ code: 'PERIOD_LOOK', sentence: 'It looks as it did where decals were put on last.' },
		{ code: 'FUEL_REACHES_IT', sentence: 'Spilt fuel reaches the decal: on a tank it may not last a season.' },
		{ code: 'EDGE_CAN_LIFT', sentence: 'Its edge can be felt, and can lift in washing.' },
		{ code: 'CAN_BE_REPLACED', sentence: 'A spoilt decal can be taken off and replaced.' },
	],
}
