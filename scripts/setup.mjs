// Installs what is missing, with Node's built-ins alone. Does nothing when nothing is missing; works again after an interrupted install.
import { createHash } from 'node:crypto'
import { existsSync, readFileSync, realpathSync, rmSync, writeFileSync } from 'node:fs'
import { delimiter, dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { run } from './child.mjs'

export const root = fileURLToPath(new URL('..', import.meta.url))

const oldestNode = [20, 19]
const modules = join(root, 'node_modules')
const stampFile = join(modules, '.stripewright-setup')

/** What a person has to do before this can go on; printed without a stack. */
export class SetupError extends Error {}

/** Brings the packages up to date with package-lock.json. Throws a SetupError when it cannot. */
export async function setUp() {
	checkNode()
	if (isInstalled()) return
	console.error('Installing packages (once; about 10 s) ...')
	// Removed first and written last: an install that was cut off leaves no stamp behind.
	rmSync(stampFile, { force: true })
	const code = await npm(['ci', '--include=dev', '--no-audit', '--no-fund', '--loglevel=error'])
	if (code !== 0) {
		throw new SetupError(
			`npm ci ended with exit code ${code}. The packages are not complete; mend what npm says above and run this again.`,
		)
	}
	writeStamp()
}

/** Whether the installed packages are those that package-lock.json names, for this Node and machine. */
export function isInstalled() {
	return existsSync(stampFile) && readFileSync(stampFile, 'utf8') === stamp()
}

/** Says that the packages now in node_modules are complete. */
export function writeStamp() {
	writeFileSync(stampFile, stamp())
}

/** Native packages differ by Node's major, platform and processor, so those are part of the stamp. */
function stamp() {
	const lock = createHash('sha256')
		.update(readFileSync(join(root, 'package-lock.json')))
		.digest('hex')
	return `${lock} node-${nodeVersion()[0]} ${process.platform} ${process.arch}\n`
}

function nodeVersion() {
	return process.versions.node.split('.').map(Number)
}

function checkNode() {
	const [major, minor] = nodeVersion()
	if (major > oldestNode[0] || (major === oldestNode[0] && minor >= oldestNode[1])) return
	throw new SetupError(
		`Node ${oldestNode.join('.')} or newer is needed; this is Node ${process.versions.node}. Get it from https://nodejs.org/`,
	)
}

async function npm(args) {
	const script = findNpm()
	// What npm says goes to stderr: stdout belongs to the command that set-up runs for.
	const options = { cwd: root, stdio: ['ignore', 2, 2] }
	if (script !== undefined) return run(process.execPath, [script, ...args], options)
	throw new SetupError('npm was not found beside Node or on the PATH. Install npm, or start this with "npm start".')
}

/** npm's own script: the npm that started this one, else the one beside this Node, else the first on the PATH. */
function findNpm() {
	const started = process.env.npm_execpath
	if (started?.endsWith('npm-cli.js') && existsSync(started)) return started
	const bin = dirname(process.execPath)
	const inModules = join('node_modules', 'npm', 'bin', 'npm-cli.js')
	const beside = [join(bin, inModules), join(bin, '..', 'lib', inModules), join('/usr/share/nodejs/npm/bin/npm-cli.js')]
	return [...beside, ...onPath('npm').flatMap(npmBehind)].find((file) => existsSync(file))
}

/** On Unix `npm` is a link to npm-cli.js; on Windows a command file beside node_modules. */
function npmBehind(file) {
	const real = realpathSync(file)
	return real.endsWith('npm-cli.js') ? [real] : [join(dirname(real), 'node_modules', 'npm', 'bin', 'npm-cli.js')]
}

function onPath(program) {
	const names = process.platform === 'win32' ? [`${program}.exe`, `${program}.cmd`] : [program]
	const folders = (process.env.PATH ?? '').split(delimiter).filter((folder) => folder !== '')
	return folders.flatMap((folder) => names.map((name) => join(folder, name))).filter((file) => existsSync(file))
}

// The independent PDF readers that the tests measure printed sheets with, and how each system's package manager is asked for them.
const readers = ['pdftoppm', 'pdftocairo', 'qpdf']
const installs = [
	{ tool: 'apt-get', command: 'apt-get update && apt-get install -y poppler-utils qpdf', asRoot: true },
	{ tool: 'dnf', command: 'dnf install poppler-utils qpdf', asRoot: true },
	{ tool: 'pacman', command: 'pacman -S poppler qpdf', asRoot: true },
	{ tool: 'apk', command: 'apk add poppler-utils qpdf', asRoot: true },
	{ tool: 'brew', command: 'brew install poppler qpdf', asRoot: false },
]

// The geodesics that distances on a panel are held against. Where it is not to be had, that one test is skipped.
const geodesics = 'GeodSolve'

/** Makes sure that the PDF readers are there: by apt when root on Debian, elsewhere by saying what to install (SetupError). */
export async function setUpReaders() {
	const wanted = [...missingReaders(), ...(onPath(geodesics).length === 0 ? [geodesics] : [])]
	if (wanted.length === 0) return
	if (isDebian() && process.getuid?.() === 0) {
		console.error(`Installing ${wanted.join(', ')} ...`)
		const options = { stdio: ['ignore', 2, 2], env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' } }
		await run('apt-get', ['-qq', 'update'], options)
		for (const packages of [['poppler-utils', 'qpdf'], ['geographiclib-tools']])
			await run('apt-get', ['-qq', 'install', '-y', '--no-install-recommends', ...packages], options)
	}
	const missing = missingReaders()
	if (missing.length > 0)
		throw new SetupError(`The tests measure printed sheets with ${missing.join(', ')}, not found on the PATH.\n${advice()}`)
}

// What the page is tested in. Any of these will do; where the test command installs one, it is Debian's.
const browsers = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome']

/** Where a Chromium is, or undefined. */
export function findBrowser() {
	return browsers.flatMap(onPath)[0]
}

/** Makes sure that there is a Chromium: by apt when root on Debian, elsewhere by saying what to install (SetupError). */
export async function setUpBrowser() {
	if (findBrowser() !== undefined) return
	if (isDebian() && process.getuid?.() === 0) {
		console.error('Installing chromium (once; about 15 s) ...')
		const options = { stdio: ['ignore', 2, 2], env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' } }
		await run('apt-get', ['-qq', 'update'], options)
		await run('apt-get', ['-qq', 'install', '-y', '--no-install-recommends', 'chromium'], options)
	}
	if (findBrowser() === undefined)
		throw new SetupError(
			`The tests look at the workbench in a Chromium, and none was found on the PATH (${browsers.join(', ')}).\nInstall Chromium or Chrome and run this again.`,
		)
}

function missingReaders() {
	return readers.filter((program) => onPath(program).length === 0)
}

function isDebian() {
	if (!existsSync('/etc/os-release') || onPath('apt-get').length === 0) return false
	return /^ID(_LIKE)?=.*\bdebian\b/m.test(readFileSync('/etc/os-release', 'utf8'))
}

function advice() {
	const found = installs.find(({ tool }) => onPath(tool).length > 0)
	if (found === undefined)
		return 'Install poppler (for pdftoppm and pdftocairo) and qpdf, put both on the PATH, and run this again.'
	const command = found.asRoot ? found.command.replace(/(^|&& )/g, '$1sudo ') : found.command
	return `Install them and run this again:\n\n    ${command}\n`
}

if (process.argv[1] !== undefined && realpathSync(process.argv[1]) === fileURLToPath(import.meta.url)) {
	try {
		await setUp()
	} catch (error) {
		if (!(error instanceof SetupError)) throw error
		console.error(error.message)
		process.exitCode = 1
	}
}
