/** `stripewright open FOLDER`: the workbench, served to the browser of this computer until it is told to stop. */
import { dirname, join, resolve } from 'node:path'
import { diskProblem, isDiskError } from '../files/diskProblem.ts'
import type { Problem } from '../job/problem.ts'
import { noteOpen, openedAt } from '../workbench/server/openedAt.ts'
import { type Served, serve } from '../workbench/server/serve.ts'
import type { Answer } from './answer.ts'
import type { World } from './world.ts'

export interface OpenOptions {
	readonly port?: string
}

const command = 'open'
/** The same at every start, so that a page that is still open finds its files again. */
const USUAL_PORT = 7350
const MOST_PORT = 65535

export async function open(world: World, said: string, options: OpenOptions): Promise<Answer> {
	const port = options.port === undefined ? undefined : Number(options.port)
	if (port !== undefined && !(/^\d+$/.test(options.port ?? '') && port <= MOST_PORT)) {
		return misuse(
			'NO_SUCH_PORT',
			`--port ${options.port}`,
			`a whole number up to ${MOST_PORT}`,
			'leave it out, or write 0 for any that is free',
		)
	}
	const folder = resolve(world.folder, said)
	try {
		if ((await world.disk.kind(folder)) !== 'folder') {
			return misuse(
				'NO_SUCH_FOLDER',
				`${said} is no folder`,
				'a folder of jobs, or of one job',
				'name the folder that the jobs lie in',
			)
		}
		const root = await world.disk.real(folder)
		const already = await openedAt(world.disk, root)
		if (already !== undefined) {
			return misuse(
				'FOLDER_OPEN',
				`${said === '.' ? 'this folder' : said} is open already, at ${already}`,
				'one workbench for one folder, so that neither writes over the other',
				'go on there, or end that one with Ctrl-C first',
			)
		}
		const served = await begin(world, folder, port)
		const close = await noteOpen(world.disk, root, served.address)
		world.out(
			`The workbench is open at ${served.address}\nIt keeps the jobs in ${said === '.' ? 'this folder' : said}, and answers this computer alone. Ctrl-C ends it.\n`,
		)
		// A folder that is one job: its shop's file may lie above, where the page does not reach.
		if (await shopAbove(world, folder)) {
			world.say(`The shop file in the folder above is not seen from here: open that folder to have it.\n`)
		}
		world.showPage(served.address)
		await world.toldToStop()
		await served.stop()
		await close()
		world.say('Everything is saved.\n')
		return { command, problems: [] }
	} catch (error) {
		if (!isDiskError(error)) throw error
		if (error.code === 'EACCES' && error.syscall === 'listen') {
			return misuse(
				'PORT_REFUSED',
				`port ${port}, which this computer keeps for itself`,
				'a port above 1023',
				'leave --port out, or write another',
			)
		}
		if (error.code === 'EADDRINUSE') {
			return misuse(
				'PORT_TAKEN',
				`port ${port} is in use by another program`,
				'a port that is free',
				'leave --port out, or write another',
			)
		}
		return { command, problems: [diskProblem(error, said)] }
	}
}

async function shopAbove({ disk }: World, folder: string): Promise<boolean> {
	const there = async (of: string, names: readonly string[]) => {
		for (const name of names) if ((await disk.kind(join(of, name))) === 'file') return true
		return false
	}
	const shops = ['shop.jsonc', 'shop.json']
	if (!(await there(folder, ['job.jsonc', 'job.json'])) || (await there(folder, shops))) return false
	return there(dirname(folder), shops)
}

/** On the port that was asked for; else on the usual one, or any other where that is taken. */
async function begin({ disk }: World, folder: string, port: number | undefined): Promise<Served> {
	try {
		return await serve(disk, folder, { port: port ?? USUAL_PORT })
	} catch (error) {
		if (port !== undefined || (error as NodeJS.ErrnoException).code !== 'EADDRINUSE') throw error
		return serve(disk, folder, { port: 0 })
	}
}

const misuse = (code: string, found: string, expected: string, fix: string): Answer => {
	const problem: Problem = { code, severity: 'error', path: '', found, expected, fix }
	return { command, misuse: true, problems: [problem] }
}
