// Which folder of src/ may import which. The list is an allow-list: scripts/architecture.json names for every folder what it stands on,
// and a folder may also import what those stand on. Everything else is an error, and so is any cycle.
import { readFileSync } from 'node:fs'

/** @type {Record<string, string[]>} */
const standsOn = JSON.parse(readFileSync(new URL('./scripts/architecture.json', import.meta.url), 'utf8'))

/** Every folder that `folder` may import, itself included. */
function reach(folder, seen = new Set()) {
	if (seen.has(folder)) return seen
	seen.add(folder)
	for (const below of standsOn[folder]) reach(below, seen)
	return seen
}

const inside = (folders) => `^src/(${[...folders].join('|')})/`
const edge = ['files', 'workbench', 'cli']

const directions = Object.keys(standsOn).map((folder) => ({
	name: `${folder}-stands-on`,
	comment: `src/${folder} may import ${[...reach(folder)].join(', ')}`,
	severity: 'error',
	from: { path: inside([folder]) },
	to: { path: '^src/', pathNot: inside(reach(folder)) },
}))

export default {
	forbidden: [
		...directions,
		{
			name: 'folder-not-in-architecture',
			comment: 'every folder of src/ has its row in scripts/architecture.json; src/ itself holds index.ts alone',
			severity: 'error',
			from: { path: '^src/', pathNot: [inside(Object.keys(standsOn)), '^src/index\\.ts$'] },
			to: {},
		},
		{
			name: 'index-is-the-engine',
			comment: 'the public entry runs in a browser: it may not reach files, the workbench or the command line',
			severity: 'error',
			from: { path: '^src/index\\.ts$' },
			to: { path: inside(edge) },
		},
		{
			name: 'no-cycle',
			comment: 'data flows one way',
			severity: 'error',
			from: {},
			to: { circular: true },
		},
		{
			name: 'no-built-ins-below-the-edge',
			comment:
				'only files, the workbench and the command line know disks, processes and the network; the rest runs in a browser too',
			severity: 'error',
			from: { path: '^src/', pathNot: inside(edge) },
			to: { dependencyTypes: ['core'] },
		},
		{
			name: 'src-stands-alone',
			comment: 'what is shipped imports nothing of the tests and scripts',
			severity: 'error',
			from: { path: '^src/' },
			to: { path: '^(tests|scripts|dist)/' },
		},
		{
			name: 'shipped-packages-only',
			comment: 'src/ imports packages from "dependencies" alone',
			severity: 'error',
			from: { path: '^src/' },
			to: { dependencyTypes: ['npm-dev', 'npm-no-pkg', 'npm-unknown'], dependencyTypesNot: ['type-only'] },
		},
		{
			name: 'no-unresolved',
			comment: 'an import that leads nowhere',
			severity: 'error',
			from: {},
			to: { couldNotResolve: true },
		},
	],
	options: {
		doNotFollow: { path: 'node_modules' },
		tsPreCompilationDeps: true,
		tsConfig: { fileName: 'tsconfig.json' },
		enhancedResolveOptions: { exportsFields: ['exports'], conditionNames: ['import', 'node', 'default', 'types'] },
	},
}
