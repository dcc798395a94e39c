/** Put in where the page is built. */
declare const STRIPEWRIGHT_VERSION: string

/** Of the program that the page came with: it is printed on every sheet. */
export const VERSION: string = STRIPEWRIGHT_VERSION
