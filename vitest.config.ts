import { defineConfig } from 'vitest/config'

export default defineConfig({
	test: {
		include: ['tests/**/*.test.ts'],
		// Rendering a whole set of sheets at 600 dpi takes seconds on a slow machine; no test is a timed test.
		testTimeout: 120_000,
		hookTimeout: 120_000,
	},
})
