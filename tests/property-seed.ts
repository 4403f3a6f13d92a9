/**
 * One seed for all property tests, so that a run can be repeated; PROPERTY_SEED looks at other cases.
 * In workerd there is no environment to read, so the seed stays there as it is.
 */
import fc from 'fast-check';

const given = Number(globalThis.process?.env?.PROPERTY_SEED ?? Number.NaN);

fc.configureGlobal({ seed: Number.isInteger(given) ? given : 20_261_125 });
