/** The shop's file as the page changes it: printers with what was measured of them, and what is used unless asked otherwise. */
import { parse } from 'jsonc-parser'
import type { Unit } from '../units/length.ts'
import { withEntry, withValue } from './document.ts'

interface ShopData {
	readonly unit?: unknown
	readonly printers?: readonly { readonly id?: unknown }[]
}

/** A shop's file where there is none yet. */
export const newShop = (unit: Unit): string => `{\n\t"format": 1,\n\t"unit": "${unit}"\n}\n`

/** What the bars of 200 mm on the test sheet measured, mm; with undefined the printer is not corrected for any more. */
export type Measured = { readonly across: number; readonly along: number } | undefined

/** The text with a printer's measures; a printer that it does not have is added. */
export function withMeasured(text: string, printer: { readonly id: string; readonly name?: string }, measured: Measured): string {
	const shop = (parse(text) ?? {}) as ShopData
	const written = measured && { across: inUnit(measured.across, shop.unit), along: inUnit(measured.along, shop.unit) }
	const index = (shop.printers ?? []).findIndex(({ id }) => id === printer.id)
	if (index >= 0) return withValue(text, ['printers', index, 'measured'], written)
	const { id, name } = printer
	const entry = { id, ...(name === undefined || name === id ? {} : { name }), ...(written ? { measured: written } : {}) }
	return withEntry(text, ['printers'], shop.printers?.length ?? 0, entry)
}

/** The text with the paper and the printer that are used from now on. */
export const withUsual = (text: string, paper: string, printer: string | undefined): string => {
	const next = withValue(text, ['paper'], paper)
	return printer === undefined ? next : withValue(next, ['printer'], printer)
}

/** A shop in inches has lengths in mm with their unit. */
const inUnit = (mm: number, unit: unknown) => (unit === 'in' ? `${mm} mm` : mm)
