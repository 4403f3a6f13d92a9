/** Waits for the person, or whoever supervises the process, to ask it to stop. */

/** Settles at the first SIGINT, SIGTERM or SIGHUP; a second one ends the process at once. */
export const untilStopped = (): Promise<void> =>
  new Promise((settle) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.once(signal, settle);
  });
