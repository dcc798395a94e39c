import { describe, expect, test } from 'vitest'
import { gaugeProfile } from '../../src/panel/gauge.ts'
import { circleProfile, type Profile, straightProfile } from '../../src/panel/profile.ts'

type Reading = readonly [number, number]

function profileOf(points: readonly Reading[], sd = 0.5, half = false): Profile {
	const outcome = gaugeProfile(points, { half, sd, path: '/p' })
	expect(outcome.problems).toEqual([])
	if (!outcome.value) throw new Error('no profile')
	return outcome.value
}

/** Readings of a circle's crown, `spacing` mm apart along it. */
const ofCircle = (radius: number, spacing: number, n: number, noise = () => 0): Reading[] =>
	Array.from({ length: n }, (_, i) => {
		const t = ((i - (n - 1) / 2) * spacing) / radius
		return [radius * Math.sin(t), radius * (1 - Math.cos(t)) + noise()]
	})

/** Normal noise from a seed (mulberry32, a public-domain generator; Box and Muller, 1958). */
function gaussian(seed: number): () => number {
	let a = seed
	const uniform = () => {
		a = (a + 0x6d2b79f5) | 0
		let t = Math.imul(a ^ (a >>> 15), 1 | a)
		t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
		return ((t ^ (t >>> 14)) >>> 0) / 4294967296
	}
	return () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform())
}

describe('a profile through places of a circle is that circle', () => {
	// Closed form of the circle by its arc length.
	test.each([
		[150, 10, 21],
		[60, 5, 25],
		[2000, 40, 11],
	])('R %d mm, read every %d mm at %d places to 0.01 mm', (radius, spacing, n) => {
		const profile = profileOf(ofCircle(radius, spacing, n), 0.01)
		const end = (spacing * (n - 1)) / 2
		expect(Math.abs(profile.uMax - end)).toBeLessThan(0.02)
		expect(Math.abs(profile.uMin + end)).toBeLessThan(0.02)
		for (let u = profile.uMin; u <= profile.uMax; u += 0.37) {
			const p = profile.at(u)
			expect(Math.abs(p.across - radius * Math.sin(u / radius))).toBeLessThan(0.01)
			expect(Math.abs(p.down - radius * (1 - Math.cos(u / radius)))).toBeLessThan(0.01)
			expect(Math.abs(p.slope - Math.sin(u / radius))).toBeLessThan(0.002)
		}
	})
})

describe('whatever was read, a profile', () => {
	const noise = gaussian(3)
	const profiles: [string, Profile][] = [
		['of a noisy circle', profileOf(ofCircle(150, 10, 21, () => 0.4 * noise()))],
		[
			'of half a mudguard, rounded',
			profileOf(
				[
					[0, 0],
					[15, 1],
					[30, 4],
					[45, 10],
					[55, 16.5],
					[62, 24.5],
					[66, 34],
					[68, 46],
				],
				0.5,
				true,
			),
		],
		[
			'of three readings',
			profileOf([
				[-40, 9],
				[0, 0],
				[42, 10],
			]),
		],
		[
			'that turns under',
			profileOf([
				[-50, 60],
				[-62, 40],
				[-55, 15],
				[-30, 2],
				[0, 0],
				[30, 2],
				[55, 15],
				[62, 40],
				[50, 60],
			]),
		],
		['as part of a circle', circleProfile(80)],
		['as a straight line', straightProfile(120, 0.3)],
	]
	test.each(profiles)('%s: u is its own length, and every derivative is that of its value', (_, profile) => {
		const h = 1e-3
		const out = new Float64Array(3)
		for (let u = profile.uMin - 30; u <= profile.uMax + 30; u += 0.71) {
			const p = profile.at(u)
			expect(Math.abs(Math.hypot(p.slope, p.acrossRate) - 1)).toBeLessThan(1e-5)
			const [a, b] = [profile.at(u - h), profile.at(u + h)]
			expect(Math.abs((b.down - a.down) / (2 * h) - p.slope)).toBeLessThan(1e-4)
			expect(Math.abs((b.across - a.across) / (2 * h) - p.acrossRate)).toBeLessThan(1e-4)
			// A bend jumps at the ends, where a profile runs on straight.
			if (Math.abs(u - profile.uMax) > 0.01 && Math.abs(u - profile.uMin) > 0.01) {
				expect(Math.abs((b.slope - a.slope) / (2 * h) - p.bend)).toBeLessThan(1e-4)
			}
			expect(Math.abs((profile.downIntegral(u + h) - profile.downIntegral(u - h)) / (2 * h) - p.down)).toBeLessThan(1e-4)
			profile.fall(u, out)
			expect([...out]).toEqual([p.down, p.slope, p.bend])
		}
		// The baseline is found to the rounding of a few hundred summed lengths.
		expect(Math.abs(profile.at(0).across)).toBeLessThan(1e-8)
		expect(Math.abs(profile.at(0).down)).toBeLessThan(1e-8)
		expect(profile.downIntegral(0)).toBeCloseTo(0, 12)
	})
})

test('a half given on either side is the same profile, alike left and right to the last digit', () => {
	const half: Reading[] = [
		[0, 0],
		[20, 2],
		[40, 9],
		[55, 20],
		[64, 36],
	]
	const right = profileOf(half, 0.5, true)
	const left = profileOf(
		half.map(([x, d]) => [-x, d]),
		0.5,
		true,
	)
	const whole = profileOf([
		...half
			.slice(1)
			.map(([x, d]) => [-x, d] as const)
			.toReversed(),
		...half,
	])
	for (let u = 0.1; u < right.uMax; u += 1.7) {
		const [p, q] = [right.at(u), right.at(-u)]
		expect(q).toEqual({ ...p, across: -p.across, slope: -p.slope })
		expect(left.at(u)).toEqual(p)
		// Towards +u it runs towards +across: (s, g, outward) keeps its hand.
		expect(p.acrossRate).toBeGreaterThan(0)
		expect(Math.abs(whole.at(u).down - p.down)).toBeLessThan(1e-9)
	}
})

test('what a gauge leaves in doubt is what the profile says: slope and place, from 40 noisy readings of known shapes', () => {
	const rms = (list: readonly number[]) => Math.sqrt(list.reduce((sum, x) => sum + x * x, 0) / list.length)
	const ratios: string[] = []
	for (const [radius, spacing, n, sd] of [
		[150, 10, 21, 0.5],
		[150, 5, 41, 0.5],
		[300, 20, 15, 0.1],
		[80, 8, 15, 0.3],
		[2000, 40, 11, 0.5],
	] as const) {
		const noise = gaussian(11)
		const slopes: number[] = []
		const places: number[] = []
		const saidSlope: number[] = []
		const saidPlace: number[] = []
		for (let run = 0; run < 40; run++) {
			const profile = profileOf(
				ofCircle(radius, spacing, n, () => sd * noise()),
				sd,
			)
			saidSlope.push(profile.slopeSd)
			saidPlace.push(profile.errorMm)
			const half = (spacing * (n - 1)) / 2
			// Downwards is counted from the profile's own top: its noise at the middle is in every place.
			for (let u = -0.95 * half; u <= 0.95 * half; u += spacing) {
				slopes.push(profile.at(u).slope - Math.sin(u / radius))
				places.push(profile.at(u).down - radius * (1 - Math.cos(u / radius)))
			}
		}
		const ratio = { slope: rms(slopes) / rms(saidSlope), place: rms(places) / rms(saidPlace) }
		ratios.push(
			`R ${radius}, every ${spacing} mm, ${n} places, sd ${sd}: slope ${ratio.slope.toFixed(2)}, place ${ratio.place.toFixed(2)}`,
		)
		expect(ratio.slope).toBeGreaterThan(0.5)
		expect(ratio.slope).toBeLessThan(1.5)
		expect(ratio.place).toBeGreaterThan(0.5)
		expect(ratio.place).toBeLessThan(2)
	}
	console.log(ratios.join('\n'))
})

test('more readings of the same noise make a slope better known, not worse', () => {
	const sds = [11, 21, 41, 81].map((n) => {
		const noise = gaussian(5)
		return profileOf(ofCircle(150, 200 / (n - 1), n, () => 0.5 * noise())).slopeSd
	})
	for (let i = 1; i < sds.length; i++) expect(sds[i]).toBeLessThan(1.05 * (sds[i - 1] as number))
})

describe('readings that cannot be', () => {
	const problem = (points: readonly Reading[], half = false) => {
		const outcome = gaugeProfile(points, { half, sd: 0.5, path: '/panels/0/found/profile/points' })
		expect(outcome.value).toBeUndefined()
		expect(outcome.problems.length).toBe(1)
		return outcome.problems[0]
	}
	test.each<[string, readonly Reading[], boolean, string, string]>([
		[
			'the same place twice',
			[
				[-40, 9],
				[0, 0],
				[0, 0],
				[40, 9],
			],
			false,
			'PROFILE_REPEATS',
			'/2',
		],
		[
			'out of order, so that it crosses itself',
			[
				[-40, 9],
				[-10, 1],
				[20, 2],
				[5, 8],
				[10, -4],
				[40, 9],
			],
			false,
			'PROFILE_CROSSES_ITSELF',
			'/3',
		],
		[
			'one reading far too deep',
			[
				[0, 0],
				[12, 508],
				[25, 5],
				[40, 12],
			],
			true,
			'PROFILE_TURNS_BACK',
			'/1',
		],
		[
			"two readings in each other's place",
			[
				[0, 0],
				[25, 5],
				[51, 12],
				[38, 25],
				[57, 38],
			],
			true,
			'PROFILE_TURNS_BACK',
			'/2',
		],
		[
			'all on one side',
			[
				[5, 0],
				[20, 2],
				[40, 9],
			],
			false,
			'PROFILE_OFF_CENTRE',
			'',
		],
		[
			'from right to left',
			[
				[40, 9],
				[0, 0],
				[-40, 9],
			],
			false,
			'PROFILE_OFF_CENTRE',
			'',
		],
		[
			'a half that starts off the centre',
			[
				[3, 0],
				[20, 2],
				[40, 9],
			],
			true,
			'PROFILE_OFF_CENTRE',
			'/0',
		],
		[
			'a half that is both halves',
			[
				[0, 0],
				[20, 2],
				[40, 9],
				[-20, 30],
			],
			true,
			'PROFILE_OFF_CENTRE',
			'/3',
		],
	])('%s', (_, points, half, code, at) => {
		const p = problem(points, half)
		expect(p?.code).toBe(code)
		expect(p?.path).toBe(`/panels/0/found/profile/points${at}`)
		expect(p?.severity).toBe('error')
		for (const words of [p?.found, p?.expected, p?.fix]) expect(words?.length).toBeGreaterThan(10)
	})
})
