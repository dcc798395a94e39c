/** Where the corner of a stroked line becomes too sharp to run to a point (PDF's and SVG's miter limit); one for all files. */
export const MITER_LIMIT = 4
