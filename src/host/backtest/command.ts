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
import { goalLines, goalTable } from './score/goals.ts';
import { type Progress, type ScoredSet, scoredFolder, scoredGenerated } from './score-set.ts';
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

const backtestHelp = `Backtests recorded batches with the watch that runs in the cellar.

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
  const clash = clashIn(values);
  if (clash !== null) {
    speaker.complain(clash);
    return 1;
  }
  if (values.batch !== undefined) return oneBatch(values.batch, values, speaker);
  if (values.score) return scored(values, speaker);
  return manyRecords(values.in ?? 'fixtures/bench', values.out, speaker);
};

/** Which way of running each option belongs to. */
const isOfBatch = (option: string): boolean =>
  option in batchOptions || option === 'report' || option === 'leave-out';

/** An option that the chosen way of running would pass over is an error, not a thing to be silent about. */
const clashIn = (values: Values): string | null => {
  const given = Object.keys(values);
  const alien = given.find(
    (option) => option !== 'batch' && isOfBatch(option) !== (values.batch !== undefined),
  );
  if (alien !== undefined) {
    return values.batch === undefined
      ? `--${alien} describes a batch, and no --batch is given; name its file, as in --batch batch.csv`
      : `--${alien} does not go with --batch; leave one of them out`;
  }
  const unscored = ['generated', 'seed', 'held-back'].find((option) => given.includes(option));
  if (unscored !== undefined && !values.score) {
    return `--${unscored} makes cases to be scored; add --score`;
  }
  if (values.generated === undefined && (values.seed !== undefined || values['held-back'])) {
    return 'how many cases to make is missing; add --generated, as in --generated 240';
  }
  return values.generated !== undefined && values.in !== undefined
    ? '--in names cases and --generated makes some; leave one of them out'
    : null;
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

/** Cases that may be made at once, and seeds below those of the cases held back. Chosen by us. */
const mostCases = 100_000;
const mostSeed = 999_999;

const scored = (values: Values, speaker: Speaker): number => {
  const whole = (option: 'generated' | 'seed', otherwise: number, most: number): number | null => {
    const typed = values[option];
    if (typed === undefined) return otherwise;
    return /^\d{1,6}$/.test(typed) && Number(typed) >= 1 && Number(typed) <= most
      ? Number(typed)
      : null;
  };
  const count = whole('generated', 0, mostCases);
  const seed = whole('seed', 1, mostSeed);
  if (count === null || seed === null) {
    const option = count === null ? 'generated' : 'seed';
    speaker.complain(
      `--${option} is "${values[option]}"; give a whole number from 1 to ${option === 'seed' ? mostSeed : mostCases}`,
    );
    return 1;
  }
  const progress: Progress = (done, of) => {
    if (done > 0 && done % 50 === 0) speaker.complain(`${done} of ${of} records replayed`);
  };
  const folder = values.in ?? 'fixtures/bench';
  const heldBack = values['held-back'] === true;
  const set =
    count === 0
      ? scoredFolder(folder, progress)
      : scoredGenerated({ count, seed, heldBack, keepIn: values.out ?? null }, progress);
  if (!set.ok) {
    speaker.complain(set.fault);
    return 1;
  }
  if (count === 0 && values.out !== undefined) writeFileSync(values.out, set.value.answers);
  speaker.say(
    titleOf(
      set.value,
      count === 0 ? folder : `simulated, seed ${seed}${heldBack ? ', held back' : ''}`,
    ),
  );
  speaker.say(goalTable(goalLines(set.value.score)));
  return 0;
};

const titleOf = ({ score }: ScoredSet, from: string): string =>
  `${score.input.of} fermentations and ${score.input.of_vessels} vessels (${from})\n`;
