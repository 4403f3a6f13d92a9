/**
 * The command line of the backtest: reads the arguments, does what they ask for, says what came of it and gives the
 * exit code. Whatever is wrong with the arguments or a file is said in words and ends with 1.
 */
import { writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { answerOf } from './answer.ts';
import { batchOptions } from './batch-options.ts';
import { readRecords } from './folder-records.ts';
import { outcomeOf, readHistory, writeReport } from './one-batch.ts';
import { summaryOf } from './summary.ts';

export type Speaker = {
  readonly say: (words: string) => void;
  readonly complain: (words: string) => void;
  /** Unix seconds. */
  readonly now: () => number;
};

const options = {
  ...batchOptions,
  help: { type: 'boolean' },
  batch: { type: 'string' },
  report: { type: 'string' },
  'leave-out': { type: 'string', multiple: true },
  in: { type: 'string' },
  out: { type: 'string' },
  score: { type: 'boolean' },
  generated: { type: 'string' },
  seed: { type: 'string' },
  'held-back': { type: 'boolean' },
} as const;

export const backtestHelp = `Backtests recorded batches with the watch that runs in the cellar.

  npm run backtest -- --batch FILE.csv [--report OUT.html]
      One past batch. FILE.csv has a line of headings, with units in brackets:
      time, temperature (°C), gravity (SG), head pressure (bar), gas flow (L/h), pH
      Times in ISO 8601 or Unix seconds; columns parted by commas, semicolons or tabs.
    --title TEXT           what the batch is called; default the file's name
    --drink ale            ale, lager, wine, mead, cider, infusion or blend
    --stage fermentation   the stage the record is of
    --og 1.052             original gravity; also "12.9 °P"
    --terminal 1.011       the brewer's estimate of terminal gravity
    --limit 78             apparent attenuation limit, per cent
    --final 1.0112         what a hydrometer said at the end
    --low 17 --high 22     temperature band, °C; also "63 °F"
    --volume 1200 --headspace 200   whole inner volume and gas space, litres
    --rated-bar 1.0 --relief-bar 0.9   from the nameplate and the relief valve, gauge
    --carbonation 2.5      volumes of CO2 as filled
    --gas-connected        a regulated gas supply was on
    --started TIME --ended TIME   default the first and the last row
    --zone +01:00          of times that carry none; default UTC
    --leave-out HEADING    a column that is no reading; may be repeated

  npm run backtest -- --in FOLDER --out FILE.jsonl
      Many records in the format of fixtures/bench/README.md.

  npm run backtest -- --score [--in FOLDER] [--out FILE.jsonl]
      The same, scored against the labels in FOLDER; default fixtures/bench.
  npm run backtest -- --score --generated N --seed S [--held-back] [--out FOLDER]
      N simulated fermentations and vessels to match; --held-back takes those kept
      for reporting, on which nothing was tuned.`;

export const runBacktest = async (args: readonly string[], speaker: Speaker): Promise<number> => {
  let values: ReturnType<typeof parsed>;
  try {
    values = parsed(args);
  } catch (error) {
    speaker.complain(`${error instanceof Error ? error.message : error}; --help names the options`);
    return 1;
  }
  if (values.help) {
    speaker.say(backtestHelp);
    return 0;
  }
  if (values.batch !== undefined) return oneBatch(values.batch, values, speaker);
  return manyRecords(values.in ?? 'fixtures/bench', values.out, speaker);
};

const parsed = (args: readonly string[]) => parseArgs({ args: [...args], options }).values;

type Values = ReturnType<typeof parsed>;

const oneBatch = async (file: string, values: Values, speaker: Speaker): Promise<number> => {
  const text = readHistory(file);
  const outcome = text.ok
    ? outcomeOf(file, text.value, values, values['leave-out'] ?? [], speaker.now())
    : text;
  if (!outcome.ok) {
    for (const fault of outcome.fault) speaker.complain(fault);
    return 1;
  }
  speaker.say(summaryOf(outcome.value));
  if (values.report !== undefined) {
    await writeReport(outcome.value, values.report);
    speaker.say(`\nThe report is in ${values.report}`);
  }
  return 0;
};

const manyRecords = (folder: string, out: string | undefined, speaker: Speaker): number => {
  if (out === undefined) {
    speaker.complain('--out is missing; name the file to write, as in --out backtest.jsonl');
    return 1;
  }
  const records = readRecords(folder);
  if (records.length === 0) {
    speaker.complain(
      `--in ${folder} holds neither batches.csv nor kegs.csv; name a folder that does`,
    );
    return 1;
  }
  const answers = records.map(answerOf);
  writeFileSync(out, `${answers.map((answer) => JSON.stringify(answer)).join('\n')}\n`);
  const raised = answers.reduce((sum, { alarms }) => sum + alarms.length, 0);
  speaker.say(`${records.length} records, ${raised} alarms, written to ${out}`);
  return 0;
};
