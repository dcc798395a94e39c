/** Where what had the focus is taken away, or cannot be pressed any more, the focus goes on to what stands nearest: it is never nowhere. */
import { useEffect } from 'preact/hooks'

/** Of a whole page the line of the card that is open; else only these: a field that is come to without being asked for brings up the keyboard of a touch screen. */
const FIRST = '.lines > .current > .line-head'
const STEPS = 'button:not(:disabled), summary, a[href]'

export function useFocusKept(): void {
	useEffect(() => {
		/** what had the focus last, and what it stood in, from the inside out */
		let last: readonly Element[] = []
		const came = ({ target }: FocusEvent) => {
			last = []
			for (let at = target as Element | null; at; at = at.parentElement) last = [...last, at]
		}
		const nearest = () => {
			const [had] = last
			if (!had || document.activeElement !== document.body) return
			if (had.isConnected && !(had as HTMLButtonElement).disabled) return
			for (const around of last.slice(1)) {
				if (!around.isConnected || around === document.body) continue
				const line = around.querySelector<HTMLElement>(FIRST)
				const step = line ?? around.querySelector<HTMLElement>(STEPS)
				if (step) return step.focus()
			}
		}
		const watcher = new MutationObserver(nearest)
		watcher.observe(document.body, { subtree: true, childList: true, attributeFilter: ['disabled'] })
		document.addEventListener('focusin', came)
		return () => {
			watcher.disconnect()
			document.removeEventListener('focusin', came)
		}
	}, [])
}
