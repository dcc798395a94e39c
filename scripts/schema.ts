/** Writes the JSON Schemas of the job and shop files, for editors: npx tsx scripts/schema.ts */
import { writeFileSync } from 'node:fs'
import { schemaFiles } from '../src/job/jsonSchema.ts'

for (const { path, text } of schemaFiles()) writeFileSync(new URL(`../${path}`, import.meta.url), text)
