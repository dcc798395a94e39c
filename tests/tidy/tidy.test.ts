// The rules of the house that no other tool checks. They read the project's own files; there is nothing outside to check them against.
import { execFileSync } from 'node:child_process'
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join, relative, sep } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, test } from 'vitest'
import architecture from '../../scripts/architecture.json' with { type: 'json' }

const root = fileURLToPath(new URL('../..', import.meta.url))
const notOurs = new Set(['node_modules', 'dist', 'jobs', 'out', '.git'])
const binary = /\.(png|jpe?g|pdf|ttf|otf|woff2?|ico|gz)$/

/** Paths from the root, with forward slashes. */
function filesBelow(folder: string): string[] {
	return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
		if (notOurs.has(entry.name)) return []
		const path = join(folder, entry.name)
		return entry.isDirectory() ? filesBelow(path) : [relative(root, path).split(sep).join('/')]
	})
}

/** What is or would be committed; without a repository, everything that is not made by a command. */
function projectFiles(): string[] {
	try {
		const listed = execFileSync('git', ['ls-files', '-z', '--cached', '--others', '--exclude-standard'], {
			cwd: root,
			stdio: 'pipe',
		})
		const files = listed.toString('utf8').split('\0')
		return files.filter((file) => file !== '' && existsSync(join(root, file)))
	} catch {
		return filesBelow(root)
	}
}

const read = (file: string) => readFileSync(join(root, file), 'utf8')
const sources = filesBelow(join(root, 'src')).filter((file) => /\.tsx?$/.test(file))
// The lock file is npm's own text.
const texts = projectFiles().filter((file) => !binary.test(file) && file !== 'package-lock.json')

/** Every line of `files` that `pattern` matches, as file:line: text. */
function matches(files: readonly string[], pattern: RegExp): string[] {
	return files.flatMap((file) =>
		read(file)
			.split('\n')
			.flatMap((line, i) => (pattern.test(line) ? [`${file}:${i + 1}: ${line.trim()}`] : [])),
	)
}

test('the tidy test sees the project', () => {
	expect(sources).toContain('src/job/schema.ts')
	expect(texts).toContain('package.json')
	expect(texts).toContain('src/job/schema.ts')
})

test('no file of src/ is longer than 400 lines', () => {
	const long = sources.map((file) => ({ file, lines: read(file).split('\n').length - 1 })).filter(({ lines }) => lines > 400)
	expect(long).toEqual([])
})

test('below the command line and the workbench there is no chance, no clock and no network', () => {
	const below = sources.filter((file) => !/^src\/(cli|workbench)\//.test(file))
	// A Date made from given numbers is data; one made from nothing reads the clock.
	const hidden =
		/Math\.random|crypto\.getRandomValues|randomUUID|new Date\(\s*\)|\bDate\.now|\bperformance\.now|\bfetch\(|XMLHttpRequest|WebSocket/
	expect(matches(below, hidden)).toEqual([])
})

test('every folder of src/ has its row in the architecture, and every row names rows', () => {
	const folders = readdirSync(join(root, 'src'), { withFileTypes: true }).filter((entry) => entry.isDirectory())
	const rows = Object.keys(architecture)
	expect(folders.map((entry) => entry.name).filter((name) => !rows.includes(name))).toEqual([])
	// Data flows down the list: a folder stands on rows above its own.
	const upward = Object.entries(architecture).flatMap(([folder, below], row) =>
		below.filter((name) => !rows.slice(0, row).includes(name)).map((name) => `${folder} on ${name}`),
	)
	expect(upward).toEqual([])
})

test('no path of one machine stands in the project', () => {
	const machinePath = /(?<![\w.:~-])\/(home|Users|root|work|workspace|mnt)\/\w|[A-Z]:\\+Users\\/
	expect(matches(texts, machinePath)).toEqual([])
})

test('nothing is left to do in a comment', () => {
	// Put together here, so that the rule does not find itself.
	const leftover = new RegExp(`\\b(${['TO' + 'DO', 'FIX' + 'ME'].join('|')})\\b`)
	expect(matches(texts, leftover)).toEqual([])
})

test('no scratch file is committed', () => {
	expect(projectFiles().filter((file) => /(^|\/)_|\.(orig|rej|bak)$/.test(file))).toEqual([])
})

test('package-lock.json is that of package.json', () => {
	const manifest = JSON.parse(read('package.json'))
	const locked = JSON.parse(read('package-lock.json')).packages['']
	expect(locked.dependencies).toEqual(manifest.dependencies)
	expect(locked.devDependencies).toEqual(manifest.devDependencies)
	expect(locked.version).toBe(manifest.version)
})
