import type { FontId } from '../../job/artworkSchema.ts'

/** The file of each font of lettering; all under the SIL Open Font License. */
export const FONT_FILES: Readonly<Record<FontId, string>> = {
	plain: 'Barlow_600SemiBold.ttf',
	narrow: 'BarlowSemiCondensed_600SemiBold.ttf',
	stencil: 'SairaStencilOne_400Regular.ttf',
	script: 'OleoScript_700Bold.ttf',
}
