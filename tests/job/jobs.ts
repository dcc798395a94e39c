/** A small whole job that other tests change one thing of. */
import type { Problem } from '../../src/job/problem.ts'

export const GOOD = `{
  // a remark
  "format": 1,
  "title": "Tarn 350 roadster",
  "unit": "mm",
  "paints": [
    { "id": "green", "name": "Lake green", "colour": "#1f6b4f" },
    { "id": "cream", "name": "Cream", "colour": "#f3e9cf" }
  ],
  "panels": [{
    "id": "guard",
    "hand": "centre",
    "found": {
      "kind": "revolved",
      "crown": { "radius": 310 },
      "profile": { "radius": 62 },
      "length": 500
    },
    "datums": [{ "id": "front", "station": 0 }, { "id": "rear", "station": 480 }],
    "readings": [
      { "kind": "square", "mark": "u1", "station": "1 13/16 in", "girth": 46.5, "side": "left" },
      { "kind": "square", "mark": "u2", "station": 200, "girth": 48, "side": "left" },
      { "kind": "square", "mark": "u2", "station": 200, "girth": 48.5, "side": "right" },
      { "kind": "tape", "from": "front", "to": "left/u2", "length": 205.5 }
    ],
    "edges": [
      { "id": "upper", "through": ["u1", "u2"] }
    ],
    "stripes": [
      { "id": "coach-line", "edge": "upper", "lay": "centred",
        "bands": [{ "paint": "green", "width": 3 }] }
    ],
  }],
}
`

/** The job with one text changed for another. */
export function changed(from: string, to: string, job = GOOD): string {
	if (job.split(from).length !== 2)
		throw new Error(`${JSON.stringify(from)} stands ${job.split(from).length - 1} times in the job`)
	return job.replace(from, () => to)
}

/** The line of a text, from 1. */
export function lineOf(text: string, part: string): number {
	const at = text.indexOf(part)
	if (at < 0) throw new Error(`${JSON.stringify(part)} is not in the text`)
	return text.slice(0, at).split('\n').length
}

/** Words that only a program would say. */
const JARGON =
	/undefined|\[object|invalid|unrecognized|received|NaN,|discriminator|regex|expected (string|number|object|array)\b/i

/** Every problem can be read by a person: full phrases, and a fix in the imperative. */
export function unreadable(problems: readonly Problem[]): string[] {
	return problems
		.flatMap(({ found, expected, fix }) => [found, expected, fix])
		.filter((words) => JARGON.test(words) || words.trim().length < 2)
}
