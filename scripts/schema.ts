/** Writes the JSON Schemas of the job, shop and result files, for editors: npx tsx scripts/schema.ts */
import { writeFileSync } from 'node:fs'
import { schemaFiles } from '../src/job/jsonSchema.ts'
import { resultSchemaFile } from '../src/report/resultSchema.ts'

for (const { path, text } of [...schemaFiles(), resultSchemaFile()]) {
	writeFileSync(new URL(`../${path}`, import.meta.url), text)
}
