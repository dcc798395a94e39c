// The checks and the tests, in order, and the closing line that counts them.
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { build } from './build.mjs'
import { runNode } from './child.mjs'
import { root, SetupError } from './setup.mjs'

const packages = join(root, 'node_modules')
const checks = [
	{ name: 'Format and lint', args: [join(packages, '@biomejs', 'biome', 'bin', 'biome'), 'check', '.'] },
	{ name: 'Types', args: [join(packages, 'typescript', 'bin', 'tsc'), '-p', '.'] },
	{
		name: 'Import directions',
		args: [
			join(packages, 'dependency-cruiser', 'bin', 'dependency-cruise.mjs'),
			'src',
			'--config',
			'.dependency-cruiser.mjs',
			'--output-type',
			'err-long',
		],
	},
]

/** Runs the checks that need no build; answers how many passed and failed. All run, whichever fails. */
export async function runChecks() {
	const tally = { passed: 0, failed: 0 }
	for (const { name, args } of checks) {
		heading(name)
		count(tally, (await runNode(args, { cwd: root })) === 0)
	}
	return tally
}

/** Runs checks, build and tests; `filters` are handed to vitest. Fails when no test ran. */
export async function runTests(filters) {
	const tally = await runChecks()
	heading('Build')
	count(tally, await builds())
	heading('Tests')
	const tests = await runVitest(filters)
	return { passed: tally.passed + tests.passed, failed: tally.failed + tests.failed }
}

async function builds() {
	try {
		await build({ types: true })
		return true
	} catch (error) {
		if (!(error instanceof SetupError)) throw error
		console.error(error.message)
		return false
	}
}

async function runVitest(filters) {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-tests-'))
	const json = join(folder, 'results.json')
	try {
		const reporters = ['--reporter=default', '--reporter=json', `--outputFile.json=${json}`]
		const env = process.stdout.isTTY ? process.env : { ...process.env, NO_COLOR: '1' }
		const code = await runNode([join(packages, 'vitest', 'vitest.mjs'), 'run', ...reporters, ...filters], { cwd: root, env })
		return tallyOf(JSON.parse(readFileSync(json, 'utf8')), code)
	} catch (error) {
		console.error(`The tests gave no result: ${error.message}`)
		return { passed: 0, failed: 1 }
	} finally {
		rmSync(folder, { recursive: true, force: true })
	}
}

/** A test file that failed to load has no tests to count, and an error outside any test fails the run: each counts as one. */
function tallyOf(report, code) {
	const unloaded = report.testResults.filter((file) => file.status === 'failed' && !file.assertionResults.some(isFailed)).length
	const tally = { passed: report.numPassedTests, failed: report.numFailedTests + unloaded }
	if (tally.passed === 0 && tally.failed === 0) console.error('No test ran.')
	if (tally.failed === 0 && (code !== 0 || tally.passed === 0)) tally.failed = 1
	return tally
}

function isFailed(result) {
	return result.status === 'failed'
}

function count(tally, good) {
	tally[good ? 'passed' : 'failed'] += 1
}

function heading(name) {
	console.log(`\n== ${name}`)
}
