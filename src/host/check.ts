/**
 * `npm test`: everything that must hold, in order: build, lint, types, dead code, tests. Each runs
 * even where an earlier one failed, so that one run shows all. The closing line counts the tests of
 * vitest and the other steps, one each; the exit code is 1 on any failure.
 */
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import * as z from 'zod';

type Count = { readonly passed: number; readonly failed: number };

const seconds = (since: number): string => `${((performance.now() - since) / 1000).toFixed(1)} s`;

/** Runs an npm script to its end; its output is held back or let through as it comes. */
const runScript = (
  script: string,
  args: readonly string[],
  output: 'held' | 'shown',
): Promise<{ readonly passed: boolean; readonly held: string }> =>
  new Promise((settle) => {
    const child = spawn('npm', ['run', '--silent', script, ...args], {
      stdio: [
        'ignore',
        output === 'held' ? 'pipe' : 'inherit',
        output === 'held' ? 'pipe' : 'inherit',
      ],
      shell: process.platform === 'win32',
    });
    const held: Buffer[] = [];
    child.stdout?.on('data', (part: Buffer) => held.push(part));
    child.stderr?.on('data', (part: Buffer) => held.push(part));
    child.on('error', (error) => settle({ passed: false, held: String(error) }));
    child.on('close', (code) => {
      settle({ passed: code === 0, held: Buffer.concat(held).toString('utf8') });
    });
  });

const checkStep = async (words: string, script: string): Promise<Count> => {
  const since = performance.now();
  const { passed, held } = await runScript(script, [], 'held');
  if (!passed) console.log(held.trimEnd());
  console.log(`${passed ? 'passed' : 'FAILED'}  ${words} (npm run ${script}, ${seconds(since)})`);
  return passed ? { passed: 1, failed: 0 } : { passed: 0, failed: 1 };
};

const report = z.object({
  numPassedTests: z.number(),
  numFailedTests: z.number(),
  numPendingTests: z.number(),
  numTodoTests: z.number(),
  testResults: z.array(
    z.object({
      name: z.string(),
      status: z.string(),
      assertionResults: z.array(z.object({ status: z.string() })),
    }),
  ),
});

/** Tests of some of the projects, in a run of their own. */
const testStep = async (
  words: string,
  projects: readonly string[],
  output: 'held' | 'shown',
): Promise<Count> => {
  const since = performance.now();
  const folder = mkdtempSync(join(tmpdir(), 'gyleward-check-'));
  const file = join(folder, 'report.json');
  try {
    const reporters = ['--reporter=default', '--reporter=json', `--outputFile.json=${file}`];
    const chosen = projects.map((project) => `--project=${project}`);
    const run = await runScript('vitest', ['--', 'run', ...chosen, ...reporters], output);
    if (output === 'held') console.log(run.held.trimEnd());
    const read = existsSync(file) ? report.parse(JSON.parse(readFileSync(file, 'utf8'))) : null;
    // A file that cannot be loaded has no test that failed, and a crash of the runner has none either.
    const broken = (read?.testResults ?? []).filter(
      ({ status, assertionResults }) =>
        status === 'failed' && !assertionResults.some((test) => test.status === 'failed'),
    );
    const failed = (read?.numFailedTests ?? 0) + broken.length;
    const count = {
      passed: read?.numPassedTests ?? 0,
      failed: run.passed ? failed : Math.max(1, failed),
    };
    for (const { name } of broken) console.log(`FAILED  ${name} did not run`);
    const skipped = (read?.numPendingTests ?? 0) + (read?.numTodoTests ?? 0);
    const left = skipped === 0 ? '' : `, ${skipped} skipped`;
    const told = `${words}: ${count.passed} passed, ${count.failed} failed${left}`;
    console.log(`${count.failed === 0 ? 'passed' : 'FAILED'}  ${told} (${seconds(since)})`);
    return count;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

const counts: readonly Count[] = [
  await checkStep('the worker and the page are built', 'build'),
  await checkStep('format, lint and layers', 'lint'),
  await checkStep('types', 'types'),
  await checkStep('dead code and dependencies', 'dead-code'),
  // Side by side, since each of them waits for sockets and browsers half of its time.
  ...(await Promise.all([
    testStep('tests in Node', ['node'], 'shown'),
    testStep('tests in workerd and in a browser', ['worker', 'browser'], 'held'),
  ])),
];
const passed = counts.reduce((sum, count) => sum + count.passed, 0);
const failed = counts.reduce((sum, count) => sum + count.failed, 0);
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed === 0 ? 0 : 1;
