import type { Drawing } from '../drawing/drawing.ts'
import type { Result } from '../engine/compute.ts'
import type { PanelResult } from '../engine/panel.ts'
import type { Unit } from '../units/length.ts'
export function planDrawing(_result: Result, panel: PanelResult, _options: { unit: Unit }): Drawing | undefined {
	return { widthMm: 10, heightMm: 10, title: panel.title, items: [] }
}
