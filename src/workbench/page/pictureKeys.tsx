/** What is open is moved in the picture by keys too: this has the focus for them, and says what each made of it. */
import { useState } from 'preact/hooks'
import type { PictureDrag } from '../pictureDrag.ts'

export function PictureKeys({ drag }: { readonly drag: PictureDrag }) {
	const [said, setSaid] = useState<string>()
	return (
		<div class="picture-keys">
			<button
				type="button"
				onKeyDown={(event) => {
					const text = event.ctrlKey || event.metaKey || event.altKey ? undefined : drag.pressed?.(event.key, event.shiftKey)
					if (text === undefined) return
					event.preventDefault()
					setSaid(text)
				}}
				onBlur={() => setSaid(undefined)}
			>
				{drag.keys}
			</button>
			<output>{said}</output>
		</div>
	)
}
