/** For how many days every reading is kept before it is thinned to hours. No I/O, no clock. */

/**
 * Chosen by us: a year's batches can be laid beside those of the year before. Less saves disk: a
 * channel once a minute takes about half a megabyte a year.
 */
export const usualKeepDays = 400;

/** Bounds of what a cellar may choose. Chosen by us: charts of a running batch need a month's detail. */
export const fewestKeepDays = 30;
export const mostKeepDays = 36_500;
