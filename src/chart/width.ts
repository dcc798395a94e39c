/** A signed distance off a line (positive to its plus side), by length along the line. */
export interface Width {
	at(length: number): number
	/** its derivative by length */
	rate(length: number): number
}
export const constantWidth = (w: number): Width => ({ at: () => w, rate: () => 0 })
