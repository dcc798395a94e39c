/** The part of clipper-lib 6.4 that regions use (it ships no types). Coordinates are integers. */
declare module 'clipper-lib' {
	export interface IntPoint {
		X: number
		Y: number
	}
	export type Path = IntPoint[]

	class Clipper {
		AddPaths(paths: Path[], polyType: number, closed: boolean): boolean
		Execute(clipType: number, solution: Path[], subjectFill: number, clipFill: number): boolean
	}

	class ClipperOffset {
		constructor(mitreLimit?: number, arcTolerance?: number)
		AddPaths(paths: Path[], joinType: number, endType: number): void
		Execute(solution: Path[], delta: number): void
	}

	const clipper: {
		Clipper: typeof Clipper
		ClipperOffset: typeof ClipperOffset
		ClipType: { ctIntersection: number; ctUnion: number; ctDifference: number; ctXor: number }
		PolyType: { ptSubject: number; ptClip: number }
		PolyFillType: { pftEvenOdd: number; pftNonZero: number; pftPositive: number; pftNegative: number }
		JoinType: { jtSquare: number; jtRound: number; jtMiter: number }
		EndType: { etClosedPolygon: number; etOpenRound: number; etOpenButt: number }
		Error: (message: string) => void
	}
	// biome-ignore lint/style/noDefaultExport: the library is one CommonJS object
	export default clipper
}
