/** JSON pointers (RFC 6901): the path of a place in a file as one text. */

export type Path = readonly (string | number)[]

export function toPointer(path: Path): string {
	return path.map((key) => `/${String(key).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')
}

/** The keys of a pointer, list places still as text. */
export function fromPointer(pointer: string): string[] {
	return pointer
		.split('/')
		.slice(1)
		.map((key) => key.replaceAll('~1', '/').replaceAll('~0', '~'))
}
