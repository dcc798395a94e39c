/** Number of the form of result.json. Changed when a field changes its meaning or goes; new fields alone do not change it. */
export const RESULT_FORMAT = 1
