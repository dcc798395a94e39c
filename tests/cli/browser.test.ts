import { expect, test } from 'vitest'
import { browserHere } from '../../src/cli/browser.ts'

/** A process as it would stand there. */
const at = (env: Readonly<Record<string, string>>, tty: readonly boolean[] = [true, true], platform = 'linux') =>
	({ stdin: { isTTY: tty[0] }, stdout: { isTTY: tty[1] }, env, platform }) as unknown as NodeJS.Process

test('a browser is opened only where somebody sits who can see it', () => {
	expect(browserHere(at({ DISPLAY: ':0' }))).toBe(true)
	expect(browserHere(at({ WAYLAND_DISPLAY: 'wayland-0' }))).toBe(true)
	expect(browserHere(at({}, [true, true], 'darwin'))).toBe(true)
	// over a line without a screen, from a script, in a pipe, by a build machine
	expect(browserHere(at({}))).toBe(false)
	expect(browserHere(at({ DISPLAY: ':0' }, [false, true]))).toBe(false)
	expect(browserHere(at({ DISPLAY: ':0' }, [true, false]))).toBe(false)
	expect(browserHere(at({ DISPLAY: ':0', CI: 'true' }))).toBe(false)
	expect(browserHere(at({ CI: '1' }, [true, true], 'win32'))).toBe(false)
})
