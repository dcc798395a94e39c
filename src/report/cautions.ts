/** The cautions that go with every set of sheets. */
import type { Job } from '../job/schema.ts'

interface Caution {
	readonly about: string
	/** in a few words, for a terminal */
	readonly short: string
	readonly text: string
	/** whose guidance it follows; always second to local law */
	readonly source: string
}

const TANK: Caution = {
	about: 'Fuel tank',
	short: 'an empty fuel tank is not a safe one: have it cleaned and made gas-free before heat, grinding or sparks',
	text: 'An empty tank is not a safe tank. Drain it, and have it cleaned and made gas-free by a specialist before any heat, grinding or sparks.',
	source: 'HSE INDG314',
}

const CAUTIONS: readonly Caution[] = [
	{
		about: 'Two-pack paint (isocyanates)',
		short: 'two-pack paint wants air-fed breathing apparatus; filter masks are not enough',
		text: 'Filter masks are not enough. Air-fed breathing apparatus; do not lift the visor in the mist; keep to the clearance time of the room before anyone goes in without it.',
		source: 'HSE; OSHA',
	},
	{
		about: 'Solvents',
		short: 'solvent vapour travels and ignites: ventilate, no ignition sources, earth the gun and the work',
		text: 'Vapour travels along the floor and ignites far from the gun. Ventilate, keep ignition sources away, earth the gun and the work. Limits on solvents and rules for spray booths are local: check before spraying.',
		source: 'HSE HSG178; EU 2004/42/EC; US 40 CFR 63 subpart HHHHHH',
	},
	{
		about: 'Old paint',
		short: 'old paint may hold lead: no dry sanding',
		text: 'It may hold lead. No dry sanding; wet methods, a HEPA vacuum cleaner, and disposal as the law asks.',
		source: 'common practice, no source',
	},
	{
		about: 'Spraying and drying',
		short: 'spray only where local rules let you, and keep the room closed until it is clear of mist',
		text: 'Rules for spraying, extraction, storing paint and getting rid of rags, thinner and masking with paint on it are local: ask before the first coat. Mix, spray and dry as the safety data sheet and the sheet of each paint say. Where two-pack paint may be sprayed by licensed people alone, have it sprayed by them. Rags and paper wet with paint go into a closed metal bin.',
		source: 'common practice, no source',
	},
	{
		about: 'Taping and lifting',
		short: 'knife lines over tape, never on the panel; lift tape with the same breathing apparatus on while paint is wet',
		text: 'Cut the ends of runs on the bench, or with the blade on the tape of another run and not through it. While paint on the tape is wet, lift it with the breathing apparatus and gloves that it was sprayed with. Wiping down before taping is solvent work: the same rules.',
		source: 'common practice, no source',
	},
	{
		about: 'Blades',
		short: 'cut templates away from the hand, and never on the panel',
		text: 'Cut away from the hand, on a mat, and never on the panel.',
		source: 'common practice, no source',
	},
]

/** Does the job have a fuel tank, by what its panels are called? */
const hasTank = (job: Pick<Job, 'panels'>) => job.panels.some(({ id, title }) => /tank/i.test(`${id} ${title ?? ''}`))

/** The cautions that concern a job; the fuel tank's first where it has one. */
const cautionsFor = (job: Pick<Job, 'panels'>) => (hasTank(job) ? [TANK, ...CAUTIONS] : CAUTIONS)

/** The one line on a card for the spray booth. */
export const SPRAY_CAUTION =
	"Two-pack paint: air-fed breathing apparatus, not a filter mask. No ignition sources; earth the gun and the work. Local law, the maker's safety data sheet and licensed people come first."

/** As they are printed: what each is about, what to do, and whose guidance that is. */
export const cautionParts = (
	job: Pick<Job, 'panels'>,
): readonly { readonly about: string; readonly text: string; readonly source: string }[] => cautionsFor(job)

export const DEFER = "Local law, the paint maker's safety data sheet and licensed people come before anything that is said here."

/** The text of cautions.txt. */
export function cautionsText(job: Pick<Job, 'panels' | 'title'>): string {
	const parts = cautionsFor(job).map(({ about, text, source }) => `${about}\n${text}\n(${source})`)
	return [`${job.title}: read before stripping and spraying`, DEFER, ...parts, ''].join('\n\n').trimEnd().concat('\n')
}

/** One line for each, for a terminal. */
export const cautionLines = (job: Pick<Job, 'panels'>): readonly string[] => [
	...cautionsFor(job).map(({ short }) => short),
	"local law, the maker's safety data sheet and licensed people come first (cautions.txt)",
]

/** What is to be read before one works on the old paint: one line for each, the fuel tank's first. */
export const benchCautions = (job: Pick<Job, 'panels'>): readonly string[] =>
	cautionsFor(job)
		.filter(({ about }) => ['Fuel tank', 'Old paint', 'Blades'].includes(about))
		.map(({ about, text }) => `${about}: ${text}`)
