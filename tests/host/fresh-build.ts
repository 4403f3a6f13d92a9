/** The worker built from the sources as they are. The build writes only what differs, and whole files. */
import { execFileSync } from 'node:child_process';
import { join } from 'node:path';

export const freshBuild = (): void => {
  const cwd = join(import.meta.dirname, '../..');
  execFileSync('npm', ['run', '--silent', 'build'], { cwd, stdio: 'inherit' });
};
