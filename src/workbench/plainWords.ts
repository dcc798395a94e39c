/** Problems name keys of the job file, for whoever writes it by hand. The page has words of its own for them. */

const SAID: readonly (readonly [RegExp, string])[] = [
	// beside the words that say the same
	[/ \("[a-z]+": "[^"]*"\)/gi, ''],
	[/say with "sides" which/g, 'say at the edge, under “Measured on both sides”, which'],
	[
		/Write "carry" into "prepared": "shift", "stations" or "proportion"/g,
		'Say under “After filler and primer” how the scheme goes over',
	],
	[/write "pull": "pressed" if it was pressed/g, 'say under “More of row” that it was, if it was pressed'],
	[/give a "seed": a place inside the field/g, 'say a place inside the field'],
	[/add "over": \["([^"]+)"\] to ([a-z0-9-]+)/g, 'say that $2 lies over $1'],
	[/"hand": "across"/g, '“across the centreline”'],
	[/"hand": "mirrored"/g, '“both sides alike”'],
	[/"hand": "(left|right)"/g, '“the $1 only”'],
	[/"sides": "mean"/g, '“the mean of the two on both”'],
	[/"sides": "each"/g, '“each side as it was”'],
	[/"sides": "(left|right)"/g, '“the $1 one on both”'],
	[/"panel": "(left|right)"/g, '“the $1 one” of the pair'],
	[/"lay": "(front|rear)"/g, '“to the $1”'],
	[/"lay": "(inboard|outboard)"/g, '“$1”'],
	[/"carry": "(shift|stations|proportion)"/g, 'the way that the scheme is to go over'],
	[/whose hand is "across"/g, 'which lies across the centreline'],
	[/whose hand is "mirrored"/g, 'which is on both sides alike'],
	[/whose hand is "centre"/g, 'which sits on the centreline'],
	[/whose hand is "pair"/g, 'which is a pair'],
	[/whose hand is "(left|right)"/g, 'which is on the $1 only'],
]

/** The words of a problem as the page says them. */
export const plainWords = (text: string): string => SAID.reduce((said, [key, words]) => said.replace(key, words), text)
