import { writeFileSync } from 'node:fs'
import { layoutSheets } from '../src/sheet/layout.ts'
import { pdfOf } from '../tests/sheet/files.ts'
import { bentGuide, longStrip, wavySquare } from '../tests/sheet/pieces.ts'

const margins = { left: 10, right: 10, top: 10, bottom: 10 }
for (const paper of process.argv.slice(2)) {
	const t = performance.now()
	const out = layoutSheets([bentGuide(1), longStrip(2), wavySquare(3)], {
		paper,
		margins,
		version: '0.1.0',
		job: { title: 'Tarn 350 roadster, 1959: tank and mudguards', revision: 'k7f3a2', unit: paper === 'letter' ? 'in' : 'mm' },
	})
	console.log(
		paper,
		performance.now() - t,
		out.problems,
		out.value?.sheets.map((s) => [
			s.name,
			s.orientation,
			Math.round(s.drawing.widthMm),
			Math.round(s.drawing.heightMm),
			s.placements[0]!.angle,
		]),
	)
	if (out.value) writeFileSync(`/tmp/show-${paper}.pdf`, await pdfOf(out.value.sheets.map((s) => s.drawing)))
}
