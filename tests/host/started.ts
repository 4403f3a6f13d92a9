/** A script of the house as a child process, waited for by the lines it prints. */
import { type ChildProcess, spawn } from 'node:child_process';
import { createInterface } from 'node:readline';

export type Started = {
  readonly child: ChildProcess;
  /** All lines of standard output so far. */
  readonly lines: readonly string[];
  readonly errors: readonly string[];
  /** The first line that matches, printed already or yet to come; rejects if the process ends first. */
  readonly line: (pattern: RegExp) => Promise<string>;
  /** Exit code or signal, once both outputs are closed. */
  readonly ended: Promise<number | NodeJS.Signals | null>;
};

export const started = (
  script: string,
  args: readonly string[],
  environment: Readonly<Record<string, string>>,
): Started => {
  const child = spawn(process.execPath, [script, ...args], {
    env: { ...process.env, ...environment },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const lines: string[] = [];
  const errors: string[] = [];
  const waiting = new Set<() => void>();
  const look = (): void => {
    for (const one of waiting) one();
  };
  createInterface(child.stdout).on('line', (line) => {
    lines.push(line);
    look();
  });
  createInterface(child.stderr).on('line', (line) => {
    errors.push(line);
  });
  let over = false;
  const ended = new Promise<number | NodeJS.Signals | null>((settle) => {
    child.on('close', (code, signal) => {
      over = true;
      settle(code ?? signal);
      look();
    });
  });
  return {
    child,
    lines,
    errors,
    ended,
    line: (pattern) =>
      new Promise((settle, refuse) => {
        const one = (): void => {
          const found = lines.find((line) => pattern.test(line));
          if (found === undefined && !over) return;
          waiting.delete(one);
          if (found === undefined)
            refuse(new Error(`ended before ${pattern}: ${[...lines, ...errors].join('\n')}`));
          else settle(found);
        };
        waiting.add(one);
        one();
      }),
  };
};
