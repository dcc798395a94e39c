/** What is said of readings that were entered, or could not be. */
import { namesOf } from './enterMatch.ts'
import type { JobPanel } from './enterPanels.ts'
import { READING_LIMIT } from './load.ts'
import { readRef } from './marks.ts'
import type { PlainObject } from './migrate.ts'
import { nearest } from './nearest.ts'
import type { Problem } from './problem.ts'
import { listedShort, plural } from './say.ts'

/** Accepted all the same: an outline, or a line that is still to be written. */
export function unknownNames(
	readings: readonly PlainObject[],
	{ fit: { id, datums }, marks, lines }: JobPanel,
): Problem | undefined {
	const ofLines = ({ kind }: PlainObject) => kind === 'crossing' || kind === 'between'
	const absent = [...new Set(readings.filter(ofLines).flatMap(namesOf))].filter((name) => !lines.has(name))
	if (absent.length > 0) return noSuchLine(absent, id, lines)
	const names = new Set(
		readings
			.filter((each) => !ofLines(each))
			.flatMap(namesOf)
			.map((name) => readRef(name).name),
	)
	const unknown = [...names].filter((name) => !marks.has(name) && !datums.has(name))
	if (unknown.length === 0) return undefined
	const near = unknown.length === 1 ? nearest(unknown[0] as string, [...marks]) : undefined
	return {
		...{ code: 'NO_LINE_THERE', severity: 'note', path: '', place: { panel: id } },
		found: `${unknown.length === 1 ? 'a mark' : 'marks'} that no line goes through: ${listedShort(unknown, 'and')}`,
		expected: 'marks that lines of this panel go through',
		fix: near
			? `If ${near} was meant, correct the name in the job file.`
			: 'Name them in `through` of a line, or leave them: they are measured.',
	}
}

function noSuchLine(absent: readonly string[], panel: string, lines: ReadonlySet<string>): Problem {
	return {
		...{ code: 'NO_LINE_THERE', severity: 'note', path: '', place: { panel } },
		found: `readings of lines that the panel does not have: ${listedShort(absent, 'and')}`,
		expected:
			lines.size > 0 ? `lines of this panel: ${listedShort([...lines], 'and')}` : 'lines of this panel, which has none yet',
		fix: 'Write the line into the job, or correct its name there.',
	}
}

export function readAgain(names: readonly string[], panel: string): Problem {
	return {
		...{ code: 'READ_AGAIN', severity: 'note', path: '', place: { panel } },
		found: `readings that the job has more than once with other figures: ${listedShort(names, 'and')}; these were added to them`,
		expected: 'one reading of each, or all of them meant',
		fix: 'Take out in the job file what is no longer meant.',
	}
}

export function panelNotSaid(lines: readonly number[], panels: readonly string[]): Problem {
	const found = `${plural(lines.length, 'row')} that do not say of which panel (the first in line ${lines[0]})`
	const fix = panels[0] === undefined ? 'Add a panel to the job first.' : `Add --panel ${panels[0]}, or whichever was measured.`
	const expected = panels.length > 0 ? `one of ${listedShort(panels)}` : 'a job with panels'
	return { code: 'PANEL_NOT_SAID', severity: 'error', path: '', line: lines[0] as number, found, expected, fix }
}

export function tooMany(count: number): Problem {
	const found = `${plural(count, 'reading')} in the job and the table together; nothing was written`
	const expected = `at most ${READING_LIMIT} in one job`
	return {
		code: 'TOO_MANY_READINGS',
		severity: 'error',
		path: '',
		found,
		expected,
		fix: 'Split the job into one file per panel.',
	}
}
