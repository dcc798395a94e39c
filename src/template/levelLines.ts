import type { PanelMesh } from './flattenMesh.ts'

/** A place on an edge of the mesh: the corner that the edge leaves, and how far along it. */
export interface OnEdge {
	readonly corner: number
	readonly t: number
}

/** One triangle's part of a line, from edge to edge. */
export interface LevelStep {
	readonly from: OnEdge
	readonly to: OnEdge
}

/**
 * The lines on which a value given at the vertices has each of some levels (rising), triangle by triangle; they end at the rim
 * and at slits. By level.
 */
export function levelLines(mesh: PanelMesh, values: Float64Array, levels: readonly number[]): LevelStep[][][] {
	const { triangles } = mesh
	const crossed = levels.map((): number[] => [])
	for (let t = 0; t < triangles.length / 3; t++) {
		const [a, b, c] = [values[triangles[3 * t]!]!, values[triangles[3 * t + 1]!]!, values[triangles[3 * t + 2]!]!]
		const low = Math.min(a, b, c)
		const high = Math.max(a, b, c)
		for (let k = firstAbove(levels, low); k < levels.length && levels[k]! <= high; k++) crossed[k]!.push(t)
	}
	return levels.map((level, k) => joined(mesh, values, level, crossed[k]!))
}

function firstAbove(levels: readonly number[], value: number): number {
	let [from, to] = [0, levels.length]
	while (from < to) {
		const middle = (from + to) >> 1
		if (levels[middle]! > value) to = middle
		else from = middle + 1
	}
	return from
}

function joined({ triangles, twin }: PanelMesh, values: Float64Array, level: number, crossed: readonly number[]): LevelStep[][] {
	const low = (e: number) => values[triangles[e]!]! < level
	const ahead = (e: number) => (e % 3 === 2 ? e - 2 : e + 1)
	// In each triangle that is crossed the value goes up over one edge and down over another.
	const up = (t: number) => [3 * t, 3 * t + 1, 3 * t + 2].find((e) => low(e) && !low(ahead(e)))
	const down = (t: number) => [3 * t, 3 * t + 1, 3 * t + 2].find((e) => !low(e) && low(ahead(e)))
	const at = (corner: number): OnEdge => {
		const [a, b] = [values[triangles[corner]!]!, values[triangles[ahead(corner)]!]!]
		return { corner, t: (level - a) / (b - a) }
	}
	const left = new Set(crossed)
	const follow = (start: number) => {
		const line: LevelStep[] = []
		for (let t = start; left.delete(t); ) {
			const [from, to] = [down(t), up(t)]
			if (from === undefined || to === undefined) break
			line.push({ from: at(from), to: at(to) })
			const over = twin[to]!
			if (over < 0) break
			t = Math.floor(over / 3)
		}
		return line
	}
	const open = crossed.filter((t) => (twin[down(t) ?? 0] ?? -1) < 0).map(follow)
	// What no open line has used closes on itself.
	const closed = crossed.flatMap((t) => (left.has(t) ? [follow(t)] : []))
	return [...open, ...closed].filter((line) => line.length > 0)
}
