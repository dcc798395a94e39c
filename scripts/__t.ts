import { readFileSync, readdirSync } from 'node:fs'
import { loadJob } from '../src/job/load.ts'
import { crossCheck } from '../src/job/crossCheck.ts'
import { withLines } from '../src/job/source.ts'
for (const d of ['fixtures/tarn-350','templates']) for (const f of readdirSync(d)) if (/json/.test(f)) { const o=loadJob(readFileSync(d+'/'+f,'utf8'),f); console.log(f, o.problems, o.value && withLines(crossCheck(o.value.job), o.value.source)) }
