/** What strips and sheets call an edge of a stripe's painted band: "coach inner", "coach 2 upper"; `inner` is nearer the baseline. */
export const printedName = (stripe: string, band: number, hand: unknown, inner: boolean) =>
	`${stripe}${band === 1 ? '' : ` ${band}`} ${hand === 'centre' ? (inner ? 'inner' : 'outer') : inner ? 'lower' : 'upper'}`
