/** Rows that are half typed, kept by the browser for one panel of one file. */
import { useState } from 'preact/hooks'
import type { Unit } from '../../units/length.ts'
import { type Drafts, draftsIn, NO_DRAFTS } from '../drafts.ts'

/** The drafts with the unit that they were typed in. */
type Kept = Drafts & { readonly unit?: Unit }

/** Half-typed rows outlive the page: a reload, or a browser that was killed. */
export function useDrafts(of: string, unit: Unit): readonly [Drafts, (drafts: Drafts) => void] {
	const key = `rows ${of}`
	const read = (): Drafts => {
		try {
			const { unit: old = unit, ...drafts } = JSON.parse(localStorage.getItem(key) ?? '') as Kept
			return draftsIn(drafts, old, unit)
		} catch {
			return NO_DRAFTS
		}
	}
	const [state, setState] = useState(() => ({ key, unit, drafts: read() }))
	const drafts = state.key === key && state.unit === unit ? state.drafts : read()
	return [
		drafts,
		(next) => {
			setState({ key, unit, drafts: next })
			if (next.fresh.length === 0 && Object.keys(next.mended).length === 0) localStorage.removeItem(key)
			else localStorage.setItem(key, JSON.stringify({ ...next, unit } satisfies Kept))
		},
	]
}
