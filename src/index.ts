/**
 * Stripewright's engine: `compute(job, shop)` turns a loaded job into marks, lines, stripes, pieces and sheets.
 * Pure and without input or output of its own; runs in Node and in a browser.
 */
export { toPdf } from './drawing/pdf.ts'
export { toCutterSvg, toSvg } from './drawing/svg.ts'
export { type Cache, revisionOf } from './engine/cache.ts'
export { type ComputeOptions, compute, type Result, type Stage } from './engine/compute.ts'
export type { PanelResult } from './engine/panel.ts'
export { loadJob } from './job/load.ts'
export { loadShop } from './job/loadShop.ts'
export type { Outcome, Problem } from './job/problem.ts'
export type { Job, Panel } from './job/schema.ts'
export type { Shop } from './job/shop.ts'
export { defaultShop } from './job/shopDefaults.ts'
export type { Sheet, Sheets } from './sheet/sheets.ts'
export type { Piece } from './template/piece.ts'
