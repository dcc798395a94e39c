export { type GateRow, gateRows } from '../engine/gates.ts'
