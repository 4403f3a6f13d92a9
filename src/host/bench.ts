/**
 * `npm run bench`: timings, each beside a floor measured in the same run, since a figure alone says more
 * about the machine than about the code. Nothing here is a test.
 */
import { fitBench } from './bench/fit-bench.ts';

console.log(await fitBench());
