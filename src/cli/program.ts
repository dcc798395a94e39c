/** The commands with their options and examples. */
import { Command, CommanderError, Option } from 'commander'
import { diskProblem, isDiskError } from '../files/diskProblem.ts'
import { version } from '../files/package.ts'
import { type Answer, give, MISUSE, PROBLEMS } from './answer.ts'
import type { CheckSheetOptions } from './checkSheet.ts'
import type { EnterOptions } from './enter.ts'
import type { MakeOptions } from './make.ts'
import type { MeasuringSheetOptions } from './measuringSheet.ts'
import type { OpenOptions } from './open.ts'
import type { ProofOptions } from './proof.ts'
import type { JobOptions } from './readJob.ts'
import type { StartOptions } from './start.ts'
import type { TestSheetOptions } from './testSheet.ts'
import type { World } from './world.ts'

interface Json {
	readonly json?: boolean
}

/** Runs one command line (without the program's own name) and gives its exit code. */
export async function run(words: readonly string[], world: World): Promise<number> {
	let answer: Answer | undefined
	const json = words.includes('--json')
	const program = commands(world, (given) => {
		answer = given
	})
	try {
		await program.parseAsync([...words], { from: 'user' })
		return answer ? give(world, answer, json) : 0
	} catch (error) {
		if (error instanceof CommanderError) return misused(error, world, json)
		return give(world, { command: words[0] ?? '', problems: [failure(error)] }, json)
	}
}

const failure = (error: unknown) => {
	if (isDiskError(error)) return diskProblem(error, error.path ?? 'a file')
	return {
		...({ code: 'PROGRAM_FAULT', severity: 'error', path: '', expected: 'an answer' } as const),
		found: `a fault of the program itself: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`,
		fix: 'report it with the job file; files written before are as they were',
	}
}

/** What the parser of the command line says has gone to the messages already. */
function misused({ exitCode, message }: CommanderError, world: World, json: boolean): number {
	if (exitCode === 0) return 0
	if (json) {
		const found = message.replace(/^error: /, '').replace(/\n/g, ' ')
		const fix = 'see stripewright --help'
		give(
			world,
			{
				command: '',
				misuse: true,
				problems: [{ code: 'MISUSE', severity: 'error', path: '', found, expected: 'a command line as the help shows it', fix }],
			},
			true,
		)
	}
	return MISUSE
}

function commands(world: World, done: (answer: Answer) => void): Command {
	const program = new Command('stripewright')
		.description('From what was measured on an old panel to paper to tape from, true to size, both sides alike.')
		.version(version(), '-V, --version', 'print the version')
		.helpOption('-h, --help', 'print this help')
		.configureOutput({ writeOut: (text) => world.out(text), writeErr: (text) => world.say(text) })
		.showHelpAfterError('(stripewright --help shows how it is meant)')
		.exitOverride()
	const inherit = (command: Command) => command.copyInheritedSettings(program)
	const json = () => new Option('--json', 'print one JSON document')

	const begin = inherit(new Command('new'))
		.description('begin a job from a starter, or from a table of readings; without names, list the starters')
		.argument('[starter]', 'one of the starters (left out with --from)')
		.argument('[folder]', 'folder for the new job')
		.option('--from <table>', 'readings as a spreadsheet saves them (CSV)')
		.option('--title <title>', 'title of the job, with --from')
		.addOption(new Option('--unit <unit>', 'unit of figures that have none, with --from').choices(['mm', 'in']))
		.addOption(json())
		.addHelpText('after', '\nExamples:\n  stripewright new\n  stripewright new --from readings.csv my-mudguard --unit in')
		.action(async (starter: string | undefined, folder: string | undefined, options: StartOptions & Json) => {
			const { start } = await import('./start.ts')
			const names = [starter, folder].filter((name) => name !== undefined)
			done(await start(world, names, options))
		})

	const blanks = withJobOptions(inherit(new Command('measuring-sheet')))
		.description('pages to write on while you measure, panel by panel, with a table (CSV) beside them for `enter`')
		.option('--panel <id>', 'this panel alone')
		.option('--out <file>', 'the file to write (measuring-sheet.pdf beside the job); its table gets the same name')
		.option(...SEMICOLONS)
		.addOption(json())
		.addHelpText('after', '\nExample:\n  stripewright measuring-sheet my-mudguard --paper A4')
		.action(async (job: string, options: MeasuringSheetOptions & Json) => {
			const { printMeasuringSheet } = await import('./measuringSheet.ts')
			done(await printMeasuringSheet(world, job, options))
		})

	const entry = inherit(new Command('enter'))
		.description('put the figures of a table into the job file; its remarks stay, the file of before is kept beside it')
		.argument('<job>', 'a job file, or a folder that holds job.jsonc')
		.argument(
			'<table>',
			'a measuring sheet, proof or check sheet’s table, filled and saved (CSV); rows without figures are passed over',
		)
		.option('--panel <id>', 'the panel that was measured, where rows do not say; rows of other panels are passed over')
		.addOption(new Option('--unit <unit>', 'unit of figures that have none, where it is not the job’s').choices(['mm', 'in']))
		.addOption(json())
		.addHelpText('after', '\nExample:\n  stripewright enter my-mudguard my-mudguard/measuring-sheet.csv')
		.action(async (job: string, table: string, options: EnterOptions & Json) => {
			const { enter } = await import('./enter.ts')
			done(await enter(world, job, table, options))
		})

	const check = withJobOptions(inherit(new Command('check')))
		.description('look a job over: marks with their ±, readings that do not fit, everything that make would say')
		.addOption(json())
		.addHelpText('after', '\nExample:\n  stripewright check my-mudguard')
		.action(async (job: string, options: JobOptions & Json) => {
			const { check: look } = await import('./check.ts')
			done(await look(world, job, options))
		})

	const make = withJobOptions(inherit(new Command('make')))
		.description('make sheets, plans, cutter files and all numbers into a folder')
		.option('--out <folder>', 'where to (out beside job.jsonc, out-NAME beside NAME.jsonc)')
		.option('--mirrored', 'sheets and pieces mirrored, for film that is applied face down')
		.option(
			'--cutter [size]',
			'the pieces nested on film for a cutter, of this width and height: 600x400 (mm), 24inx36in; of the shop file’s where not said',
		)
		.addOption(json())
		.addHelpText('after', '\nExample:\n  stripewright make my-mudguard --out my-mudguard/print --paper A3')
		.action(async (job: string, options: MakeOptions & Json) => {
			const { make: makeAll } = await import('./make.ts')
			done(await makeAll(world, job, options))
		})

	const proof = withJobOptions(inherit(new Command('proof')))
		.description('strips and guides to hold against the old paint before it is stripped, with blanks for what they miss it by')
		.option('--out <file>', 'the file to write (proof.pdf); its table gets the same name')
		.option(...SEMICOLONS)
		.addOption(json())
		.addHelpText('after', '\nExample:\n  stripewright proof my-mudguard --out my-mudguard/proof.pdf')
		.action(async (job: string, options: ProofOptions & Json) => {
			const { printProof } = await import('./proof.ts')
			done(await printProof(world, job, options))
		})

	const checks = withJobOptions(inherit(new Command('check-sheet')))
		.description('pages that say where to measure edges as taped, before anything is sprayed, and what they should read')
		.option('--out <file>', 'the file to write (check-sheet.pdf beside the job); its table gets the same name')
		.option(...SEMICOLONS)
		.addOption(json())
		.addHelpText('after', '\nExample:\n  stripewright check-sheet my-mudguard')
		.action(async (job: string, options: CheckSheetOptions & Json) => {
			const { printCheckSheet } = await import('./checkSheet.ts')
			done(await printCheckSheet(world, job, options))
		})

	const printer = inherit(new Command('test-sheet'))
		.description('a sheet to measure a printer with: print it, measure two lengths, type them into the shop file')
		.option('--shop <file>', 'the shop file (shop.jsonc in this folder where not said)')
		.option('--paper <name>', 'A4, A3, letter, roll-610 ... in place of the shop file’s')
		.option('--printer <name>', 'one of the shop file’s printers')
		.option('--out <file>', 'the file to write (test-sheet.pdf)')
		.addOption(json())
		.addHelpText('after', '\nExample:\n  stripewright test-sheet --paper A3 --out test-a3.pdf')
		.action(async (options: TestSheetOptions & Json) => {
			const { printTestSheet } = await import('./testSheet.ts')
			done(await printTestSheet(world, options))
		})

	const bench = inherit(new Command('open'))
		.description('the workbench: a folder of jobs in the browser of this computer, until Ctrl-C')
		.argument('[folder]', 'the folder that the jobs lie in', '.')
		.option('--port <number>', 'the port to answer on; 0 for any that is free')
		.addHelpText('after', '\nExample:\n  stripewright open my-jobs')
		.action(async (folder: string, options: OpenOptions) => {
			const { open } = await import('./open.ts')
			done(await open(world, folder, options))
		})

	for (const command of [begin, bench, blanks, entry, check, make, proof, checks, printer]) program.addCommand(command)
	return program.addHelpText('after', HELP)
}

const SEMICOLONS = ['--semicolons', 'cells of the table parted by semicolons, decimals with a comma'] as const

const withJobOptions = (command: Command) =>
	command
		.argument('<job>', 'a job file, or a folder that holds job.jsonc')
		.option('--shop <file>', 'the shop file (shop.jsonc beside the job, else in the folder above, where not said)')
		.option('--paper <name>', 'A4, A3, letter, roll-610 ... in place of the shop file’s')
		.option('--printer <name>', 'one of the shop file’s printers')

const HELP = `
Exit codes: 0 good; ${PROBLEMS} not everything could be made, problems are listed; ${MISUSE} the command cannot be carried out as typed.

Example:
  stripewright new --from readings.csv my-mudguard
  stripewright check my-mudguard
  stripewright make my-mudguard`
