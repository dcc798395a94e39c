// node scripts/run.mjs VERB: what package.json's scripts call. Set-up comes first, so that each works on a fresh machine.
import { cpSync, existsSync, mkdirSync, renameSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { runNode } from './child.mjs'
import { root, SetupError, setUp, setUpBrowser, setUpReaders } from './setup.mjs'

const cli = join(root, 'dist', 'cli.js')
const tsx = join(root, 'node_modules', 'tsx', 'dist', 'cli.mjs')

// Each verb answers the exit code. What needs installed packages is loaded after set-up.
const verbs = { start, test, check, build, bench, pictures, stripewright }

/** Makes the demo job; then opens the workbench with a copy of it, unless it is to be made once and no more. */
async function start(args) {
	const unknown = args.filter((arg) => arg !== '--once')
	if (unknown.length > 0) return misuse(`start does not know ${unknown.join(' ')}; it takes --once or nothing.`)
	await built()
	const made = await runNode([cli, 'make', 'fixtures/tarn-350/job.jsonc', '--out', 'out/tarn-350'], { cwd: root })
	if (made !== 0 || args.includes('--once')) return made
	copyDemo()
	console.log('')
	return runNode([cli, 'open', 'jobs'], { cwd: root })
}

/** The demo to try things on: what is done to the copy stays, and the demo is as it was. */
function copyDemo() {
	const copy = join(root, 'jobs', 'tarn-350')
	if (existsSync(copy)) return
	mkdirSync(join(root, 'jobs'), { recursive: true })
	const half = `${copy}.tmp`
	rmSync(half, { recursive: true, force: true })
	cpSync(join(root, 'fixtures', 'tarn-350'), half, { recursive: true })
	renameSync(half, copy)
}

/** The command line, in the folder that the user stands in. */
async function stripewright(args) {
	await built()
	return runNode([cli, ...args], { cwd: process.env.INIT_CWD ?? process.cwd() })
}

async function build() {
	await built({ types: true })
	return 0
}

async function test(args) {
	try {
		await setUp()
		await setUpReaders()
		await setUpBrowser()
		const { runTests } = await import('./checks.mjs')
		return close(await runTests(args))
	} catch (error) {
		if (!(error instanceof SetupError)) throw error
		console.error(error.message)
		return close({ passed: 0, failed: 1 })
	}
}

async function check() {
	await setUp()
	const { runChecks } = await import('./checks.mjs')
	return close(await runChecks())
}

/** Bundled as what users run is: from source each function would carry the loader's bookkeeping, half as slow again. */
async function bench(args) {
	await built()
	const { bundleBench } = await import('./build.mjs')
	return runNode([await bundleBench(), ...args], { cwd: root })
}

async function pictures(args) {
	await setUpReaders()
	const made = await start(['--once'])
	return made === 0 ? runNode([tsx, join('scripts', 'pictures.ts'), ...args], { cwd: root }) : made
}

async function built(options) {
	await setUp()
	const { build: buildDist } = await import('./build.mjs')
	await buildDist(options)
}

/** The closing line stands alone and last. */
function close({ passed, failed }) {
	console.log(`\n${passed} passed, ${failed} failed`)
	return failed === 0 ? 0 : 1
}

function misuse(message) {
	console.error(message)
	return 2
}

const [verb = '', ...args] = process.argv.slice(2)
try {
	process.exitCode = Object.keys(verbs).includes(verb)
		? await verbs[verb](args)
		: misuse(`node scripts/run.mjs takes one of: ${Object.keys(verbs).join(', ')}`)
} catch (error) {
	if (!(error instanceof SetupError)) throw error
	console.error(error.message)
	process.exitCode = 1
}
