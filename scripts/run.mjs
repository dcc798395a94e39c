// node scripts/run.mjs VERB: what package.json's scripts call. Set-up comes first, so that each works on a fresh machine.
import { join } from 'node:path'
import { runNode } from './child.mjs'
import { root, SetupError, setUp, setUpReaders } from './setup.mjs'

const cli = join(root, 'dist', 'cli.js')
const tsx = join(root, 'node_modules', 'tsx', 'dist', 'cli.mjs')

// Each verb answers the exit code. What needs installed packages is loaded after set-up.
const verbs = { start, test, check, build, bench, pictures, stripewright }

/** Makes the demo job. */
async function start(args) {
	const unknown = args.filter((arg) => arg !== '--once')
	if (unknown.length > 0) return misuse(`start does not know ${unknown.join(' ')}; it takes --once or nothing.`)
	await built()
	return runNode([cli, 'make', 'fixtures/tarn-350/job.jsonc', '--out', 'out/tarn-350'], { cwd: root })
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

async function bench(args) {
	await built()
	return runNode([tsx, join('scripts', 'bench.ts'), ...args], { cwd: root })
}

async function pictures(args) {
	await setUpReaders()
	const made = await start([])
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
