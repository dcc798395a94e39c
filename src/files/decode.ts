/** Bytes as the text they hold: UTF-8, UTF-16 with its mark, or an old encoding of the west. */
export function decode(bytes: Uint8Array, oldEncodings: boolean): string | undefined {
	const [a, b] = bytes
	try {
		if (a === 0xff && b === 0xfe) return new TextDecoder('utf-16le', { fatal: true }).decode(bytes)
		return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
	} catch {
		return oldEncodings && !bytes.includes(0) ? new TextDecoder('windows-1252').decode(bytes) : undefined
	}
}
