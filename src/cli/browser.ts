/** The browser of this computer, asked to show an address. */
import { spawn } from 'node:child_process'

/** Is somebody sitting here, with a browser to look into? */
export function browserHere({ stdin, stdout, env, platform }: NodeJS.Process): boolean {
	if (!stdin.isTTY || !stdout.isTTY || env.CI) return false
	return platform === 'win32' || platform === 'darwin' || Boolean(env.DISPLAY || env.WAYLAND_DISPLAY)
}

/** Where it cannot be opened nothing happens: the address has been printed. */
export function openBrowser(address: string): void {
	const [program, words] =
		process.platform === 'win32'
			? ['cmd', ['/c', 'start', '', address]]
			: [process.platform === 'darwin' ? 'open' : 'xdg-open', [address]]
	const child = spawn(program as string, words as string[], { stdio: 'ignore', detached: true })
	child.on('error', () => {})
	child.unref()
}
