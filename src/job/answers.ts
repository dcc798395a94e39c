/** A job that has only been begun: which panel, where it sits, where the tape is hooked. */
import type { Unit } from '../units/length.ts'
import { GUESS } from './guess.ts'
import { FORMAT, type Panel } from './schema.ts'

export interface Answers {
	readonly title: string
	/** as the trade calls it: "Fuel tank" */
	readonly panel: string
	readonly hand: Panel['hand']
	/** what the tape is hooked on, from which stations count: "bolt hole at the front" */
	readonly hook: string
	readonly unit: Unit
}

/** The text of a job file with that one panel, nothing measured yet. It loads without problems, whatever the words are. */
export function jobFromAnswers({ title, panel, hand, hook, unit }: Answers): string {
	const { length, width } = GUESS[unit]
	return `// A job for Stripewright. Lines that begin with // are remarks for you; the program passes over them.
{
  "format": ${FORMAT},
  "title": ${JSON.stringify(title)},

  // Plain numbers are in this unit, "mm" or "in". A length may also carry its own: "46.5 mm", "1 13/16 in".
  "unit": "${unit}",

  // Each paint with a name of your own (id) and a colour for the drawings.
  "paints": [
    { "id": "line-paint", "name": "Coach line", "colour": "#1f6b4f" },
  ],

  "panels": [
    {
      "id": ${JSON.stringify(panelIdOf(panel))},
      "title": ${JSON.stringify(panel)},
      "hand": "${hand}",

      // Flat, and its size guessed, until its shape is written in.
      "found": { "kind": "flat", "length": ${length}, "width": ${width} },

      // Places that outlive the stripping. Stations count rearward from the first: here the tape is hooked.
      "datums": [
        { "id": "hook", "what": ${JSON.stringify(hook)}, "station": 0 },
      ],

      // What was measured. Station: along the baseline. Girth: square off it, the tape lying on the panel.
      "readings": [],

      // Lines through the marks, and what is painted along them.
      "edges": [],
      "stripes": [],
    },
  ],
}
`
}

/** "Fuel tank, upper" as an id: fuel-tank-upper. */
export function panelIdOf(name: string): string {
	const plain = name.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase()
	const id = plain
		.replace(/[^a-z0-9]+/g, '-')
		.replace(/^[^a-z]+|-+$/g, '')
		.slice(0, 40)
		.replace(/-+$/, '')
	return id === '' ? 'panel-1' : id
}
