/** Writes the scan of the headlamp's demo job, which is too large to be kept: npx tsx scripts/headlampScan.ts */
import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { headlampScan, toStl } from './fixtures/headlampScan.ts'

const file = new URL('../fixtures/tarn-350-headlamp/headlamp.stl', import.meta.url)
writeFileSync(file, toStl(headlampScan().mesh))
console.log(`${fileURLToPath(file)}: 100,000 triangles with 0.05 mm of noise`)
