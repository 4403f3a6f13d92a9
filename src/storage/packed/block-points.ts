/**
 * Points of a full block. Chosen by us: six hours at one a minute. More would write fewer rows and
 * cost more for each late reading, which rewrites its block.
 */
export const blockPoints = 360;
