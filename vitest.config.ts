import { defineConfig } from 'vitest/config'

export default defineConfig({
	test: {
		include: ['tests/**/*.test.ts'],
		// A forgotten test.only would hide the rest. (The linter's rule for it takes every function called fit for a test, so it is off.)
		allowOnly: false,
		// What a test prints matters when it fails.
		silent: 'passed-only',
		// Rendering a whole set of sheets at 600 dpi takes seconds on a slow machine; no test is a timed test.
		testTimeout: 120_000,
		hookTimeout: 120_000,
	},
})
