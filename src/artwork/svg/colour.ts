import names from 'color-name'

/** A colour as '#rrggbb' with how solid it is, 0 to 1. */
export interface Colour {
	readonly hex: string
	readonly alpha: number
}

const HEX = /^#(?:[0-9a-f]{3,4}|[0-9a-f]{6}|[0-9a-f]{8})$/
const CALL = /^(rgb|hsl)a?\(([^()]*)\)/

/** A colour of CSS by name, figures or function (CSS Color 4, 4-8); undefined where it is none of them. */
export function readColour(said: string): Colour | undefined {
	const text = said.trim().toLowerCase()
	if (text === 'transparent') return { hex: '#000000', alpha: 0 }
	// an ICC colour may stand behind the one for screens
	const word = text.split(/\s+/)[0] as string
	if (HEX.test(word)) return ofHex(word.slice(1))
	if (Object.hasOwn(names, word)) return { hex: hexOf(names[word] as readonly number[]), alpha: 1 }
	const [, kind, inside] = CALL.exec(text) ?? []
	if (!kind || inside === undefined) return undefined
	const parts = inside.split(/[\s,/]+/).filter(Boolean)
	if (parts.length < 3 || parts.length > 4) return undefined
	const alpha = parts[3] === undefined ? 1 : share(parts[3], 1)
	const rgb = kind === 'rgb' ? parts.slice(0, 3).map((p) => 255 * share(p, 255)) : ofHsl(parts)
	if (![...rgb, alpha].every(Number.isFinite)) return undefined
	return { hex: hexOf(rgb), alpha: clamp(alpha) }
}

function ofHex(digits: string): Colour {
	const long = digits.length < 6 ? [...digits].map((d) => d + d).join('') : digits
	return { hex: `#${long.slice(0, 6)}`, alpha: long.length === 8 ? Number.parseInt(long.slice(6), 16) / 255 : 1 }
}

/** A figure of `whole` or a percentage, as a part of 1. */
const share = (text: string, whole: number) => (text.endsWith('%') ? Number(text.slice(0, -1)) / 100 : Number(text) / whole)

const clamp = (x: number) => Math.min(1, Math.max(0, x))

const hexOf = (rgb: readonly number[]) =>
	`#${rgb
		.map((c) =>
			Math.round(255 * clamp(c / 255))
				.toString(16)
				.padStart(2, '0'),
		)
		.join('')}`

/** CSS Color 4, 7.1. */
function ofHsl([h, s, l]: readonly string[]): number[] {
	const hue = Number((h as string).replace(/deg$/, ''))
	const [sat, light] = [clamp(share(s as string, 100)), clamp(share(l as string, 100))]
	const a = sat * Math.min(light, 1 - light)
	return [0, 8, 4].map((n) => {
		const k = (n + (((hue % 360) + 360) % 360) / 30) % 12
		return 255 * (light - a * Math.max(-1, Math.min(k - 3, 9 - k, 1)))
	})
}
