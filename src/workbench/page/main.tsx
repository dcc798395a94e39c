/** The page: the jobs of the folder, or one of them on the bench. */
import { render } from 'preact'
import { App } from './app.tsx'

const root = document.getElementById('bench')
if (root) render(<App />, root)
