/** The step at hand, read from two metres: one picture, one sentence, one length. The space bar or a thumb goes on. */
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks'
import type { StepWords } from '../../report/stepWords.ts'
import type { Bench } from './bench.ts'
import { doneOf, signStep } from './stepDone.ts'
import type { PaintworkBench } from './usePaintwork.ts'

interface Own {
	readonly bench: Bench
	readonly paintwork: PaintworkBench
}

export function StepStand({ bench, paintwork }: Own) {
	const { view, step, at, next, stale } = paintwork
	useStepKeys(next)
	if (!view || !step) return null
	const stage = view.stages.find(({ key }) => key === step.stage)
	const last = view.steps.length - 1
	const rows = step.rows ?? []
	return (
		<section class={stale ? 'step-stand stale' : 'step-stand'} aria-label="The step at hand">
			<header>
				<h2>
					Session {step.session}, {stage?.title}
				</h2>
				<p>
					Step {at + 1} of {view.steps.length}
				</p>
			</header>
			<StagePicture svg={paintwork.picture(step.stage)} step={step} />
			<div class="step-words" role="status">
				<p class="step-sentence">
					{step.number !== undefined && <strong class="step-number">{step.number}</strong>}
					{step.sentence}
				</p>
				{step.length !== undefined && <p class="step-length">{step.length}</p>}
				{rows.length > 0 && (
					<table class="step-rows">
						<tbody>
							{rows.map(([what, figure]) => (
								<tr key={what}>
									<th scope="row">{what}</th>
									<td>{figure}</td>
								</tr>
							))}
						</tbody>
					</table>
				)}
				{step.note !== undefined && <p class="step-note">{step.note}</p>}
			</div>
			{stale && <p class="stale-note">as it was before the last figures</p>}
			<div class="step-bar">
				<button type="button" aria-disabled={at === 0} onClick={() => next(-1)}>
					Back
				</button>
				<Done bench={bench} step={step} />
				<button type="button" aria-disabled={at === last} onClick={() => next(1)}>
					Next
				</button>
			</div>
		</section>
	)
}

function Done({ bench, step }: { readonly bench: Bench; readonly step: StepWords }) {
	const done = doneOf(bench, step.id)
	return (
		<button type="button" class={done ? 'done' : ''} aria-pressed={done !== undefined} onClick={() => signStep(bench, step.id)}>
			{done ? `✓ Done on ${String(done.entry.on)}` : 'Done today'}
		</button>
	)
}

/** The run of the step stands out from the others: they are paler, it is outlined. */
function StagePicture({ svg, step }: { readonly svg: string | undefined; readonly step: StepWords }) {
	const holder = useRef<HTMLElement>(null)
	useLayoutEffect(() => {
		const element = holder.current
		if (!element) return
		for (const lit of Array.from(element.querySelectorAll('.now'))) lit.classList.remove('now')
		const run =
			step.number === undefined ? null : element.querySelector(`[id="${CSS.escape(`${step.stage}-run-${step.number}`)}"]`)
		run?.classList.add('now')
		element.classList.toggle('pick', run !== null)
	})
	if (svg === undefined) {
		return (
			<figure class="step-picture" ref={holder}>
				<p class="drawing">being drawn…</p>
			</figure>
		)
	}
	// Made by the program's own writer, which escapes what the job says.
	return <figure class="step-picture" ref={holder} dangerouslySetInnerHTML={{ __html: asImage(svg) }} />
}

export const asImage = (svg: string) => svg.replace('<svg ', '<svg role="img" preserveAspectRatio="xMidYMid meet" ')

/** Fields and buttons keep their own keys; the head of the open line has nothing to do with the space bar. */
function useStepKeys(next: PaintworkBench['next']) {
	const go = useRef(next)
	go.current = next
	useEffect(() => {
		const pressed = (event: KeyboardEvent) => {
			if (event.ctrlKey || event.altKey || event.metaKey || event.defaultPrevented) return
			const on = event.target instanceof Element ? event.target : null
			if (on?.closest('input, select, textarea, summary, a')) return
			const space = event.key === ' '
			if (space && on?.closest('button:not(.current > .line-head)')) return
			const by = space ? (event.shiftKey ? -1 : 1) : event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0
			if (by === 0) return
			event.preventDefault()
			go.current(by)
		}
		addEventListener('keydown', pressed)
		// a button that has the focus would be pressed when the space bar is let go
		const released = (event: KeyboardEvent) => {
			if (event.key === ' ' && event.target instanceof Element && event.target.closest('.current > .line-head'))
				event.preventDefault()
		}
		addEventListener('keyup', released)
		return () => {
			removeEventListener('keydown', pressed)
			removeEventListener('keyup', released)
		}
	}, [])
}
