/** The shop file: what belongs to the workshop and not to one job. */
import { z } from 'zod'
import { readLength, type Unit } from '../units/length.ts'

export const SHOP_FORMAT = 1
// sketch of the output type; the schema is to be written like the job's
export interface Shop {
	readonly format: number
	readonly unit: Unit
	/** the paper used unless asked otherwise */
	readonly paper: string
	readonly printer?: string
	readonly printers: readonly {
		readonly id: string
		readonly name?: string
		readonly margins: { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number }
		/** what 200 mm measured, across and along the sheet, on the printed test sheet */
		readonly measured?: { readonly across: number; readonly along: number }
	}[]
	readonly papers: readonly { readonly id: string; readonly width: number; readonly height?: number }[]
	readonly instruments: readonly { readonly id: string; readonly sd: number; readonly what?: string }[]
	readonly tapes: readonly {
		readonly id: string
		readonly width: number
		readonly kind: 'fine-line' | 'crepe' | 'paper' | 'film'
		readonly edgeStrain: number
		readonly rollLength?: number
	}[]
	readonly guideWidth: number
}
void z
void readLength
