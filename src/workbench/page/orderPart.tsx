/** The order of the paints: why this one, what others would cost, and choosing another. */
import type { Bench, Data } from './bench.ts'
import { Form } from './fields.tsx'
import { Rows } from './rows.tsx'
import { choices } from './schemeWords.ts'
import type { PaintworkBench } from './usePaintwork.ts'

export function OrderPart({ bench, paintwork }: { readonly bench: Bench; readonly paintwork: PaintworkBench }) {
	const order = paintwork.view?.order
	const written = (bench.job?.paintwork ?? {}) as Data
	const paints = bench.job?.paints
	return (
		<>
			<h3>The order of the paints</h3>
			{order && (
				<>
					<p class="order-chosen">{order.says}</p>
					<p>{order.why}</p>
					{order.others.length > 0 && (
						<details class="more">
							<summary>Other orders, and what they cost ({order.others.length})</summary>
							<ul class="orders">
								{order.others.map(({ paints: ids, says, why }) => (
									<li key={says}>
										<strong>{says}</strong>
										<span>{why}</span>
										<button type="button" onClick={() => bench.set(['paintwork', 'order'], ids)}>
											Spray {says}
										</button>
									</li>
								))}
							</ul>
						</details>
					)}
				</>
			)}
			<OwnOrder bench={bench} order={orderOf(bench, order?.paints)} />
			{Array.isArray(written.order) && (
				<p>
					<button type="button" onClick={() => bench.set(['paintwork', 'order'], undefined)}>
						Let the order be chosen again
					</button>
				</p>
			)}
			<details class="more">
				<summary>The first paint, and how far a paint goes on below its neighbour</summary>
				<Form
					bench={bench}
					at={['paintwork']}
					entry={written}
					cells={[
						{
							...{ key: 'first', says: 'The first paint', kind: 'choice', unsaid: 'whichever takes less' },
							of: [
								['all-over', 'all over each panel that has it'],
								['local', 'only where it shows, and a lap beyond'],
							],
						},
						{ key: 'underlap', says: 'Goes on below by', kind: 'length', sign: 'not-negative', unsaid: 'the shop’s' },
					]}
				/>
				<Rows
					bench={bench}
					list={['paintwork', 'underlaps']}
					rows={Array.isArray(written.underlaps) ? written.underlaps : []}
					one="lap"
					caption="Of single pairs of paints."
					cells={[
						{ key: 'under', says: 'Below', kind: 'choice', of: choices(paints) },
						{ key: 'over', says: 'The later one', kind: 'choice', of: choices(paints) },
						{ key: 'width', says: 'By', kind: 'length', sign: 'not-negative', must: true },
					]}
					begin={() => ({ under: String(paints?.[0]?.id ?? ''), over: String(paints?.[1]?.id ?? '') })}
				/>
			</details>
		</>
	)
}

/** As the job says it, else as it was chosen, else as the paints are listed. */
function orderOf(bench: Bench, chosen: readonly string[] | undefined): readonly string[] {
	const { order } = (bench.job?.paintwork ?? {}) as Data
	const said = Array.isArray(order) ? order.map(String) : []
	const rest = (chosen ?? (bench.job?.paints ?? []).map(({ id }) => String(id))).filter((id) => !said.includes(id))
	return [...said, ...rest]
}

/** Any other order, one paint moved at a time. */
function OwnOrder({ bench, order }: { readonly bench: Bench; readonly order: readonly string[] }) {
	const nameOf = (id: string) => String(bench.job?.paints?.find((paint) => paint.id === id)?.name ?? id)
	const earlier = (i: number) => {
		const next = [...order]
		next.splice(i - 1, 0, ...next.splice(i, 1))
		bench.set(['paintwork', 'order'], next)
	}
	return (
		<details class="more">
			<summary>An order of your own</summary>
			<ol class="own-order" data-at="paintwork/order">
				{order.map((id, i) => (
					<li key={id}>
						{nameOf(id)}
						{i > 0 && (
							<button type="button" onClick={() => earlier(i)}>
								{nameOf(id)} before {nameOf(order[i - 1] ?? '')}
							</button>
						)}
					</li>
				))}
			</ol>
		</details>
	)
}
