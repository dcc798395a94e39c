import type { LineProps } from './lineProps.ts'
import { Problems } from './problems.tsx'

export function PanelLine({ bench, problems }: LineProps) {
	return <Problems problems={problems} bench={bench} />
}
