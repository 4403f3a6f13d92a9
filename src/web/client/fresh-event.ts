/** Fired at the document after a refresh has changed the page; the chart fetches its data again. */
export const freshEvent = 'gyleward-fresh';
