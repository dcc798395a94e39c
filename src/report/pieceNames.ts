/** A file name for each piece: its id with - for /, and a number where two would be the same. */
export function pieceNames(ids: readonly string[]): ReadonlyMap<string, string> {
	const taken = new Set<string>()
	const names = new Map<string, string>()
	for (const id of ids) {
		const stem = id.replaceAll('/', '-')
		let name = stem
		for (let count = 2; taken.has(name); count++) name = `${stem}-${count}`
		taken.add(name)
		names.set(id, name)
	}
	return names
}
