/** What a file system refused, as a problem that a person can act on. */
import type { Problem } from '../job/problem.ts'

interface Words {
	readonly code: string
	readonly found: string
	readonly expected: string
	readonly fix: string
}

const NO_RIGHT = (path: string): Words => ({
	code: 'NOT_ALLOWED',
	found: `${path} may not be written or read by you`,
	expected: 'a place where you may write',
	fix: 'choose another folder, or change its rights',
})
const FULL = (path: string): Words => ({
	code: 'DISK_FULL',
	found: `the disk was full before ${path} was written`,
	expected: 'room for the whole set',
	fix: 'make room, or choose a folder on another disk',
})
const IN_USE = (path: string): Words => ({
	code: 'IN_USE',
	found: `${path} is held by another program`,
	expected: 'files that no other program has open',
	fix: 'close the files and try again',
})

const KNOWN: Readonly<Record<string, (path: string) => Words>> = {
	EACCES: NO_RIGHT,
	EPERM: NO_RIGHT,
	EROFS: (path) => ({ ...NO_RIGHT(path), found: `${path} is on a disk that cannot be written to` }),
	ENOSPC: FULL,
	EDQUOT: FULL,
	EFBIG: FULL,
	EBUSY: IN_USE,
	ETXTBSY: IN_USE,
	ENOENT: (path) => ({
		code: 'FILE_MISSING',
		found: `there is no ${path}`,
		expected: 'a file or folder that is there',
		fix: 'look at how it is spelled, and at the folder that you stand in',
	}),
	ENOTDIR: (path) => ({
		code: 'FILE_IN_THE_WAY',
		found: `part of ${path} is a file`,
		expected: 'a folder there',
		fix: 'choose another folder, or move the file away',
	}),
	EEXIST: (path) => ({
		code: 'FILE_IN_THE_WAY',
		found: `${path} is there already`,
		expected: 'a name that is free',
		fix: 'choose another folder, or move the file away',
	}),
	ENAMETOOLONG: (path) => ({
		code: 'NAME_TOO_LONG',
		found: `${path} is longer than the disk takes`,
		expected: 'a shorter name',
		fix: 'choose a folder with a shorter path, or shorter names in the job',
	}),
}

/** Is this an error of a file system (and not a fault of the program)? */
export const isDiskError = (error: unknown): error is NodeJS.ErrnoException =>
	error instanceof Error && typeof (error as NodeJS.ErrnoException).code === 'string' && 'errno' in error

/** The problem for what went wrong with `path`, named as the person would name it. */
export function diskProblem(error: NodeJS.ErrnoException, path: string): Problem {
	const { code, ...words } = (KNOWN[error.code ?? ''] ?? unknown(error))(path)
	return { code, severity: 'error', path: '', file: path, ...words }
}

const unknown =
	(error: NodeJS.ErrnoException) =>
	(path: string): Words => ({
		code: 'DISK_FAILED',
		found: `${path} could not be written or read (${error.code})`,
		expected: 'a disk that answers',
		fix: 'try again, or choose a folder on another disk',
	})
