/**
 * What of a job file the lines of the card edit. Everything else is listed with its value, as not yet editable here: a key that
 * nobody made an editor for is found by not being named in this file.
 */
import type { Path } from './document.ts'

const of = (at: string, keys: string) => keys.split(' ').map((key) => (at === '' ? key : `${at}/${key}`))

const PANEL = 'panels/*'
const SPOT = 'station girth side'
const FOUND = `${PANEL}/found`
const PROFILE = 'points half sd radius arc straight slopeDeg'

/** Places in the file by their keys, `*` for any entry of a list. What lies below one of them is edited with it. */
export const EDITED: ReadonlySet<string> = new Set([
	...of('', 'title notes unit'),
	...of('limits', 'shape gap mark'),
	...of('paints/*', 'id name colour'),
	...of('paints/*/sprayed', 'as over coats filmUm volumeSolids transfer allowance mix potLifeHours tapeHours lift source'),
	...of('paints/*/sprayed/recoatHours', 'from to'),
	...of('artwork/*', 'id title margin tolerance lettering'),
	...of('artwork/*/shape', 'kind width height corner colour points file text font spacing register'),
	...of('artwork/*/shape/arc', 'radius inside'),
	...of('paintwork', 'order first underlap'),
	...of('paintwork/underlaps/*', 'under over width'),
	...of('paintwork/sprayOut/*', 'paint coats matched on note'),
	...of('paintwork/log/*', 'paint panel coat on at celsius humidity batch note'),
	...of('paintwork/done/*', 'step on by note'),
	...of('signed/*', 'line panel on'),
	...of(PANEL, 'title hand notes'),
	...of(`${PANEL}/datums/*`, `id what ${SPOT} panel`),
	...of(`${PANEL}/baseline`, 'from to'),
	...of(`${PANEL}/baseline/interruptions/*`, 'what from to width'),
	...of(`${PANEL}/outline`, 'mirrored'),
	...of(`${PANEL}/outline/points/*`, `mark ${SPOT} smooth`),
	...of(`${PANEL}/holes/*`, `id what ${SPOT} diameter`),
	...of(`${PANEL}/patches/*`, 'id what hand painted note'),
	...of(`${PANEL}/patches/*/outline/*`, `mark ${SPOT} smooth`),
	...of(`${PANEL}/strips`, 'stations every'),
	...of(`${PANEL}/seams/*`, 'what with datums lines gap'),
	...of(`${PANEL}/seams/*/tie`, 'keeps over'),
	...of(`${PANEL}/seams/*/proud`, 'panel by'),
	...of(`${PANEL}/readings/*`, `kind mark edge from to line lines ${SPOT} length distance width with sd panel note pull squared`),
	...of(`${PANEL}/prepared`, 'carry note'),
	...of(`${PANEL}/prepared/datums/*`, `id ${SPOT}`),
	...of(`${PANEL}/prepared/readings/*`, 'kind from to length'),
	...of(FOUND, 'kind length width front sd closed stations squared file unit symmetry noise'),
	...of(`${FOUND}/bend`, 'radius towards'),
	...of(`${FOUND}/round`, 'baseline'),
	...of(`${FOUND}/round/cone`, 'frontDiameter rearDiameter slant'),
	...of(`${FOUND}/round/profile`, PROFILE),
	...of(`${FOUND}/profile`, PROFILE),
	...of(`${FOUND}/crown`, 'radius chord rise points sd'),
	...of(`${FOUND}/baseline/from`, 'along across'),
	...of(`${FOUND}/baseline/to`, 'along across'),
	...of(`${FOUND}/sections/*`, 'along drop half creases points left right traced'),
	...of(`${FOUND}/laid/*`, 'girth side from lengths to length'),
	...of(`${FOUND}/tapes/*/from`, SPOT),
	...of(`${FOUND}/tapes/*/to`, SPOT),
	...of(`${FOUND}/tapes/*`, 'length'),
	...of(`${FOUND}/datums/*`, 'id what scan vehicle'),
	...of(`${PANEL}/edges/*`, 'id what hand sides closed front rear evidence note'),
	...of(`${PANEL}/edges/*/through/*`, 'mark by corner tolerance'),
	...of(`${PANEL}/stripes/*`, 'id what edge lay offset corners hand over templates evidence note'),
	...of(`${PANEL}/stripes/*/front`, 'shape angleDeg length'),
	...of(`${PANEL}/stripes/*/rear`, 'shape angleDeg length'),
	...of(`${PANEL}/stripes/*/bands/*`, 'paint width gap'),
	...of(`${PANEL}/fields/*`, 'id what paint between hand templates evidence note'),
	...of(`${PANEL}/fields/*/seed`, SPOT),
	...of(`${PANEL}/proof/*`, 'line station side misses towards'),
	...of(`${PANEL}/checks/*`, 'line station side girth'),
	...of(`${PANEL}/painted/*`, 'line station side girth'),
	...of(`${PANEL}/decals/*`, 'id what artwork hand turn faces material paint frame reverse clearance over note'),
	...of(`${PANEL}/decals/*/place`, `kind ${SPOT} point angle sd sdDeg edges edge distance lay`),
	...of(`${PANEL}/decals/*/place/marks/*`, 'mark point'),
	...of(`${PANEL}/clear`, 'paint before over elsewhere flow filmUm decals'),
	...of(`${PANEL}/clear/decided`, 'by on note'),
	...of(`${PANEL}/clear/takenOff/*`, 'what um rounds'),
])

/** These say how the file itself is read, and are no part of the job. */
export const OF_THE_FILE: ReadonlySet<string> = new Set(['$schema', 'format'])

/** Every place above one that is edited. */
const ABOVE: ReadonlySet<string> = new Set(
	[...EDITED].flatMap((place) => {
		const keys = place.split('/')
		return keys.slice(1).map((_, i) => keys.slice(0, i + 1).join('/'))
	}),
)

/** A path in a file as a place: figures are `*`. */
export const patternOf = (path: Path): string => path.map((key) => (typeof key === 'number' ? '*' : key)).join('/')

/** What a job holds that no line of the card edits, in the order of the file. */
export function unedited(value: unknown, path: Path = []): readonly Path[] {
	const pattern = patternOf(path)
	if (value === undefined || EDITED.has(pattern) || OF_THE_FILE.has(pattern)) return []
	if (path.length > 0 && !ABOVE.has(pattern)) return [path]
	if (Array.isArray(value)) return value.flatMap((one, i) => unedited(one, [...path, i]))
	// a mark by its name alone, in place of all that can be said of one
	if (typeof value !== 'object' || value === null) return []
	return Object.entries(value).flatMap(([key, one]) => unedited(one, [...path, key]))
}
