/** Which stock follows a line, and where none does. */
import type { Tape } from '../job/shop.ts'
import { type Look, strainOf } from './along.ts'

/** A stretch of a line for one tape, or for none. */
export interface Chosen {
	/** along the line, mm */
	readonly from: number
	readonly to: number
	readonly tape: Tape | undefined
	/** of a stretch that no tape follows */
	readonly why?: 'bends' | 'narrow' | 'tapers'
}

export interface ChooseInput {
	readonly looks: readonly Look[]
	readonly lengthMm: number
	/** how far off the line a tape so wide begins */
	readonly offOf: (tape: Tape) => number
	/** stock that may be used, the best first */
	readonly tapes: readonly Tape[]
	/** room that each must have, mm */
	readonly needs: (tape: Tape) => number
}

/** An end of tape is cut on the slant over this length at most, mm: more is a piece of its own (common practice, no source). */
const MOST_SLANT_MM = 25
/** A stretch of tape shorter than this is not worth laying, mm. */
const LEAST_RUN_MM = 12
/** Round a place where no tape follows, so much more of the line is left out, mm. */
const ROUND_MM = 2

/** The best stock that follows all of a line but its slanted ends; else the best for what lies between the places that none follows. */
export function chooseTape(input: ChooseInput): readonly Chosen[] {
	const { looks, lengthMm, tapes } = input
	const whole = tapes.find((tape) => follows(input, tape, looks))
	if (whole) return [{ from: 0, to: lengthMm, tape: whole }]
	const last = tapes[tapes.length - 1]
	const flaws = last ? flawsOf(input, last) : []
	if (!last || flaws.length === 0) return [{ from: 0, to: lengthMm, tape: undefined, why: last ? 'bends' : 'narrow' }]
	const out: Chosen[] = []
	let from = 0
	const between = (to: number) => {
		if (to - from < LEAST_RUN_MM) return
		const within = looks.filter(({ l }) => l >= from && l <= to)
		const tape = tapes.find((each) => within.every((look) => fits(input, each, look)))
		if (tape) out.push({ from, to, tape })
	}
	for (const flaw of flaws) {
		between(flaw.from)
		out.push({ ...flaw, from: out.length > 0 ? (out[out.length - 1] as Chosen).to : 0 })
		from = flaw.to
	}
	between(lengthMm)
	const end = out[out.length - 1] as Chosen
	if (end.to < lengthMm) out[out.length - 1] = { ...end, to: lengthMm }
	return merged(out)
}

const bends = ({ offOf }: ChooseInput, tape: Tape, look: Look) => strainOf(look, offOf(tape), tape.width) > tape.edgeStrain + 1e-9
const fits = (input: ChooseInput, tape: Tape, look: Look) => !bends(input, tape, look) && look.room >= input.needs(tape)

function follows(input: ChooseInput, tape: Tape, looks: readonly Look[]): boolean {
	if (looks.some((look) => bends(input, tape, look))) return false
	const good = looks.filter((look) => look.room >= input.needs(tape))
	const [first, last] = [good[0], good[good.length - 1]]
	if (!first || !last) return false
	if (first.l > MOST_SLANT_MM || input.lengthMm - last.l > MOST_SLANT_MM) return false
	return looks.every((look) => look.l < first.l || look.l > last.l || look.room >= input.needs(tape))
}

/** Stretches that a tape does not follow, slanted ends that are short enough left out. */
function flawsOf(input: ChooseInput, tape: Tape): Chosen[] {
	const { looks, lengthMm } = input
	const out: Chosen[] = []
	looks.forEach((look, i) => {
		if (fits(input, tape, look)) return
		const from = Math.max(0, (looks[i - 1]?.l ?? 0) - ROUND_MM)
		const to = Math.min(lengthMm, (looks[i + 1]?.l ?? lengthMm) + ROUND_MM)
		const why = bends(input, tape, look) ? 'bends' : 'narrow'
		const before = out[out.length - 1]
		if (before && from <= before.to) out[out.length - 1] = { ...before, to, why: before.why === 'bends' ? 'bends' : why }
		else out.push({ from, to, tape: undefined, why })
	})
	return out
		.map(
			(flaw): Chosen => (flaw.why === 'narrow' && (flaw.from === 0 || flaw.to === lengthMm) ? { ...flaw, why: 'tapers' } : flaw),
		)
		.filter(({ why, from, to }) => why !== 'tapers' || to - from > MOST_SLANT_MM)
}

/** Neighbouring stretches of one kind are one. */
function merged(list: readonly Chosen[]): readonly Chosen[] {
	const out: Chosen[] = []
	for (const each of list) {
		const last = out[out.length - 1]
		if (last && last.tape === each.tape && !last.tape) out[out.length - 1] = { ...last, to: each.to }
		else out.push(last ? { ...each, from: last.to } : { ...each, from: 0 })
	}
	return out
}
