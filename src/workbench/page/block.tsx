/** One thing of the scheme: its name as a head that opens it, and taking it away. One is open at a time. */
import type { ComponentChildren } from 'preact'

interface BlockProps {
	readonly title: string
	/** beside the title, in a few words */
	readonly about: ComponentChildren
	readonly open: boolean
	readonly toggle: () => void
	readonly remove: () => void
	readonly children: ComponentChildren
}

export function Block({ title, about, open, toggle, remove, children }: BlockProps) {
	return (
		<section class={open ? 'block open' : 'block'}>
			<button type="button" class="block-head" aria-expanded={open} onClick={toggle}>
				<span class="block-title">{title}</span>
				<span class="block-about">{about}</span>
			</button>
			{open && (
				<div class="block-body">
					{children}
					<p>
						<button type="button" onClick={remove}>
							Take {title} away
						</button>
					</p>
				</div>
			)}
		</section>
	)
}
