/** The job and shop files as JSON Schema, for editors that complete and check as one types. */
import { z } from 'zod'
import { lengthFields } from './lengthField.ts'
import { jobSchema } from './schema.ts'
import { shopSchema } from './shop.ts'

export interface SchemaFile {
	/** where it belongs in the project */
	readonly path: string
	readonly text: string
}

/** Both schemas, as the texts of their files. */
export function schemaFiles(): SchemaFile[] {
	return [
		{ path: 'docs/job.schema.json', text: jsonSchema('Stripewright job', jobSchema('mm')) },
		{ path: 'docs/shop.schema.json', text: jsonSchema('Stripewright shop', shopSchema('mm')) },
	]
}

/** Draft 2020-12 of what may stand in a file (before lengths are read and what is left out is filled in). */
function jsonSchema(title: string, schema: z.ZodType): string {
	const json = z.toJSONSchema(schema, { io: 'input', target: 'draft-2020-12', override: sayDefaultLength })
	return `${JSON.stringify({ ...json, title }, null, '\t')}\n`
}

/** What is filled in for a length is in mm whatever the file's unit: it goes into the words, not into `default`. */
function sayDefaultLength({
	zodSchema,
	jsonSchema: json,
}: {
	zodSchema: z.core.$ZodType
	jsonSchema: z.core.JSONSchema.BaseSchema
}): void {
	const { def } = zodSchema._zod as { def: { type: string; innerType?: z.core.$ZodType; defaultValue?: unknown } }
	if (def.type !== 'default' || !def.innerType || !lengthFields.has(def.innerType as never)) return
	delete json.default
	const filledIn = def.defaultValue === 0 ? '0' : `${def.defaultValue} mm`
	json.description = `${json.description ?? ''} ${filledIn} where not said.`.trim()
}
