/** The page itself: what was built into dist/page, with the fonts it shows. */
import { join } from 'node:path'
import type { Context } from 'hono'
import type { Disk } from '../../files/disk.ts'
import { home } from '../../files/package.ts'

const TYPES: Readonly<Record<string, string>> = {
	html: 'text/html; charset=utf-8',
	css: 'text/css; charset=utf-8',
	js: 'text/javascript; charset=utf-8',
	map: 'application/json; charset=utf-8',
	svg: 'image/svg+xml',
	png: 'image/png',
	ttf: 'font/ttf',
}

const FOLDERS = ['page', 'fonts']

/** One file of the page, `folder` and `name` as in its address: none other can be named. */
export async function pageFile(disk: Disk, c: Context, folder: string, name: string): Promise<Response> {
	const type = /^[\w-]+(?:\.[\w-]+)*\.([a-z]+)$/.exec(name)?.[1]
	const file = join(home().folder, 'dist', folder, name)
	const there = FOLDERS.includes(folder) && type !== undefined && TYPES[type] && (await disk.kind(file)) === 'file'
	if (!there) return c.text('There is no such part of the page.', 404)
	return c.body(new Uint8Array(await disk.read(file)), 200, { 'Content-Type': TYPES[type] as string })
}

export async function firstPage(disk: Disk, c: Context): Promise<Response> {
	if ((await disk.kind(join(home().folder, 'dist', 'page', 'page.html'))) === 'file')
		return pageFile(disk, c, 'page', 'page.html')
	return c.text('The page has not been built yet. In the folder of Stripewright give: npm run build\nThen load this again.', 503)
}
