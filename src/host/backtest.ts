/**
 * Runs recorded batches and vessels through the very watch that runs in the worker, causally.
 *   npm run backtest -- --batch FILE.csv [--report OUT.html]     one past batch, told and drawn
 *   npm run backtest -- --in FOLDER --out FILE.jsonl             many, in the format of fixtures/bench/README.md
 *   npm run backtest -- --score [--in FOLDER]                    the same, scored against labels
 *   npm run backtest -- --score --generated N --seed S [--held-back]
 * `--help` names every option.
 */
import { runBacktest } from './backtest/command.ts';

process.exitCode = await runBacktest(process.argv.slice(2), {
  say: (words) => console.log(words),
  complain: (words) => console.error(words),
  now: () => Date.now() / 1000,
});
