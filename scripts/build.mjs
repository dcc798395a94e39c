// src/ to dist/: the command line, the public entry, the workbench's page, the fonts, and (when asked) the type declarations.
// Built beside and renamed, so that a build that fails leaves the last good one in place.
import { createHash } from 'node:crypto'
import {
	chmodSync,
	copyFileSync,
	existsSync,
	mkdirSync,
	readdirSync,
	readFileSync,
	renameSync,
	rmSync,
	writeFileSync,
} from 'node:fs'
import { join, relative } from 'node:path'
import { runNode } from './child.mjs'
import { root, SetupError } from './setup.mjs'

const dist = join(root, 'dist')
const page = 'src/workbench/page'
const entries = ['src/cli/main.ts', 'src/cli/writerThread.ts', 'src/index.ts', `${page}/main.tsx`, `${page}/work.ts`]
const builtFrom = ['package-lock.json', 'package.json', 'tsconfig.json', 'tsconfig.build.json', 'scripts/build.mjs']
const fontPackages = 'node_modules/@expo-google-fonts'
/** Fonts that are printed with and those of lettering, by package. */
const fonts = {
	'barlow-semi-condensed': ['400Regular/BarlowSemiCondensed_400Regular.ttf', '600SemiBold/BarlowSemiCondensed_600SemiBold.ttf'],
	barlow: ['600SemiBold/Barlow_600SemiBold.ttf'],
	'saira-stencil-one': ['400Regular/SairaStencilOne_400Regular.ttf'],
	'oleo-script': ['700Bold/OleoScript_700Bold.ttf'],
}

/** Rebuilds dist/ when its sources changed. Throws a SetupError when a source is missing or does not build. */
export async function build({ types = false } = {}) {
	const stamp = sourcesHash()
	if (readStamp(dist, 'js') !== stamp) await bundle(stamp)
	if (types && readStamp(dist, 'types') !== stamp) await declare(stamp)
}

async function bundle(stamp) {
	const missing = entries.filter((entry) => !existsSync(join(root, entry)))
	if (missing.length > 0) throw new SetupError(`Nothing to build: ${missing.join(' and ')} not found.`)
	console.error('Building dist/ ...')
	const beside = join(root, `dist-${process.pid}.tmp`)
	rmSync(beside, { recursive: true, force: true })
	sweep()
	const { build: esbuild } = await import('esbuild')
	try {
		await esbuild(commandLine(beside))
		await esbuild(publicEntry(beside))
		await esbuild(workbenchPage(join(beside, 'page')))
	} catch (error) {
		rmSync(beside, { recursive: true, force: true })
		if (Array.isArray(error?.errors)) throw new SetupError('The build failed; the last good dist/ is as it was.')
		throw error
	}
	makeExecutable(join(beside, 'cli.js'))
	copyFonts(join(beside, 'fonts'))
	for (const file of ['page.html', 'styles.css', 'lines.css', 'paper.css', 'stand.css'])
		copyFileSync(join(root, page, file), join(beside, 'page', file))
	writeFileSync(join(beside, '.stamp-js'), stamp)
	putInPlace(beside, stamp)
}

/** Two builds at the same moment (tests run by themselves) make the same; the one that comes second is thrown away. */
function putInPlace(beside, stamp) {
	rmSync(dist, { recursive: true, force: true })
	try {
		renameSync(beside, dist)
	} catch (error) {
		rmSync(beside, { recursive: true, force: true })
		if (readStamp(dist, 'js') !== stamp) throw error
	}
}

/** What builds that were ended in the middle left. */
function sweep() {
	for (const name of readdirSync(root)) {
		const id = Number(/^dist-(\d+)\.tmp$/.exec(name)?.[1])
		if (!(id > 0)) continue
		try {
			process.kill(id, 0)
		} catch (error) {
			if (error.code === 'ESRCH') rmSync(join(root, name), { recursive: true, force: true })
		}
	}
}

async function declare(stamp) {
	const code = await runNode([join('node_modules', 'typescript', 'bin', 'tsc'), '-p', 'tsconfig.build.json'], { cwd: root })
	if (code !== 0) throw new SetupError('The type declarations failed.')
	writeFileSync(join(dist, '.stamp-types'), stamp)
}

// What packages load and the tool never uses. paper's Node part looks for jsdom and canvas, which must not be found in a user's folders;
// without them it only says that this is Node, by which paper knows not to keep a timer running for redrawing. svgdom measures text and
// pictures with fontkit and image-size, where the tool has its own metrics and draws no pictures. zod brings fifty languages; what it
// says is never shown.
const refuse = (what, name) => `export function ${name}() { throw new Error('${what} is not part of this program') }`
const leftOut = {
	'./node/self.js': "module.exports = { navigator: { userAgent: 'Node.js (linux; U; rv:v20)' } }",
	'./node/extend.js': 'module.exports = () => {}',
	fontkit: refuse('fontkit', 'openSync'),
	'../locales/index.js': 'export {}',
	'image-size': `${refuse('image-size', 'sizeOf')} export default sizeOf`,
}
// svgdom works out at load where its own fonts would lie. A browser has no such folder.
const paths =
	"export const join = (...parts) => parts.join('/'); export const dirname = (file) => file; export default { join, dirname }"
// pdf-lib and fontkit pack and unpack with a zlib written in JavaScript; Node has its own, several times faster.
const inNode = {
	...leftOut,
	pako: `import { deflateSync, inflateSync } from 'node:zlib'
		export const deflate = (bytes) => new Uint8Array(deflateSync(bytes))
		export const inflate = (bytes) => new Uint8Array(inflateSync(bytes))
		export default { deflate, inflate }`,
}
const inBrowser = { ...leftOut, 'node:path': paths, path: paths, 'node:url': 'export const fileURLToPath = (url) => String(url)' }

const common = (outdir) => ({
	absWorkingDir: root,
	outdir,
	bundle: true,
	format: 'esm',
	target: 'es2022',
	splitting: true,
	legalComments: 'eof',
	logLevel: 'warning',
})

/** What import() loads is a chunk of its own, so the command line reads the PDF and SVG writers only when it writes. */
function commandLine(outdir) {
	return {
		...common(outdir),
		entryPoints: {
			cli: 'src/cli/main.ts',
			writerThread: 'src/cli/writerThread.ts',
		},
		platform: 'node',
		mainFields: ['module', 'main'],
		chunkNames: 'cli/[name]-[hash]',
		// less to read at every start; names stay, so that a fault still says where
		minifyWhitespace: true,
		// CommonJS packages inside an ES module still ask for require().
		banner: {
			js: "import { createRequire as __createRequire } from 'node:module'; const require = __createRequire(import.meta.url);",
		},
		plugins: [standIns(inNode)],
	}
}

/** Runs in Node and in a browser alike. */
function publicEntry(outdir) {
	return {
		...common(outdir),
		entryPoints: { index: 'src/index.ts' },
		platform: 'browser',
		chunkNames: 'lib/[name]-[hash]',
		plugins: [standIns(inBrowser)],
	}
}

/** The page and its thread: all that the browser fetches comes from here. */
function workbenchPage(outdir) {
	return {
		...common(outdir),
		entryPoints: { main: `${page}/main.tsx`, work: `${page}/work.ts` },
		platform: 'browser',
		chunkNames: '[name]-[hash]',
		minify: true,
		jsx: 'automatic',
		jsxImportSource: 'preact',
		define: { STRIPEWRIGHT_VERSION: JSON.stringify(JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')).version) },
		plugins: [standIns(inBrowser)],
	}
}

/** Puts the text of `modules` in the place of the modules of those names. */
function standIns(modules) {
	return {
		name: 'stand-ins',
		setup({ onResolve, onLoad }) {
			onResolve({ filter: new RegExp(`^(${Object.keys(modules).join('|')})$`) }, ({ path }) => ({ path, namespace: 'stand-in' }))
			onLoad({ filter: /.*/, namespace: 'stand-in' }, ({ path }) => ({ contents: modules[path] }))
		},
	}
}

/** The benchmarks, each a file of its own beside the one that runs them: that one's path. */
export async function bundleBench() {
	const { build: esbuild } = await import('esbuild')
	const folder = join(root, 'scripts', 'bench')
	rmSync(join(root, 'out', 'bench'), { recursive: true, force: true })
	await esbuild({
		...common('out'),
		outbase: 'scripts',
		entryPoints: ['scripts/bench.ts', ...readdirSync(folder).map((file) => join('scripts', 'bench', file))],
		platform: 'node',
		packages: 'external',
		chunkNames: 'bench/chunks/[name]-[hash]',
		outExtension: { '.js': '.js' },
	})
	return join(root, 'out', 'bench.js')
}

function makeExecutable(file) {
	const text = readFileSync(file, 'utf8')
	if (!text.startsWith('#!')) writeFileSync(file, `#!/usr/bin/env node\n${text}`)
	chmodSync(file, 0o755)
}

function copyFonts(folder) {
	mkdirSync(folder, { recursive: true })
	for (const [name, files] of Object.entries(fonts)) {
		const from = join(root, fontPackages, name)
		for (const file of files) copyFileSync(join(from, file), join(folder, file.split('/').pop()))
		copyFileSync(join(from, 'LICENSE_FONT'), join(folder, `LICENSE_FONT-${name}`))
	}
}

function readStamp(folder, kind) {
	const file = join(folder, `.stamp-${kind}`)
	return existsSync(file) ? readFileSync(file, 'utf8') : undefined
}

function sourcesHash() {
	const hash = createHash('sha256')
	const files = [...builtFrom.map((file) => join(root, file)), ...filesBelow(join(root, 'src'))]
	for (const file of files)
		hash
			.update(`${relative(root, file)}\0`)
			.update(readFileSync(file))
			.update('\0')
	return hash.digest('hex')
}

function filesBelow(folder) {
	const found = readdirSync(folder, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : 1))
	return found.flatMap((entry) => (entry.isDirectory() ? filesBelow(join(folder, entry.name)) : [join(folder, entry.name)]))
}
