/** Text cut into lines that fit a width. */
import { type TextStyle, textWidth } from './metrics.ts'

/** The longest start of `word` that fits, at least one sign; and the rest. */
function breakWord(word: string, widthMm: number, style: TextStyle): [string, string] {
	const signs = [...word]
	let count = 1
	while (count < signs.length && textWidth(signs.slice(0, count + 1).join(''), style) <= widthMm) count++
	return [signs.slice(0, count).join(''), signs.slice(count).join('')]
}

/**
 * The lines of `text`, each no wider than `widthMm` (mm), broken at blanks; a word that is wider than a line is broken inside.
 * A single sign wider than the width stands alone. Blank text gives no lines.
 */
export function wrapText(text: string, widthMm: number, style: TextStyle): readonly string[] {
	const lines: string[] = []
	let line = ''
	for (const word of text.split(/\s+/).filter((part) => part !== '')) {
		let rest = word
		const joined = line === '' ? rest : `${line} ${rest}`
		if (textWidth(joined, style) <= widthMm) {
			line = joined
			continue
		}
		if (line !== '') lines.push(line)
		while (rest !== '' && textWidth(rest, style) > widthMm) {
			const [head, tail] = breakWord(rest, widthMm, style)
			if (tail === '') break
			lines.push(head)
			rest = tail
		}
		line = rest
	}
	if (line !== '') lines.push(line)
	return lines
}
