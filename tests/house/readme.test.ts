/** README says what the tests enforce, and names only scripts and files that exist. */
import { existsSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import packageJson from '../../package.json' with { type: 'json' };
import { accuracyMarkdown } from '../science/accuracy-markdown.ts';

const readme = readFileSync(new URL('../../README.md', import.meta.url), 'utf8');

test('the accuracy table is the one that the tests enforce', () => {
  expect(readme).toContain(accuracyMarkdown());
});

test('every npm script that it names exists', () => {
  const named = [...readme.matchAll(/npm run ([a-z-]+)/g)].map(([, name]) => name ?? '');
  expect(named.length).toBeGreaterThan(3);
  for (const name of named) expect(Object.keys(packageJson.scripts)).toContain(name);
});

test('every file that it links to exists', () => {
  const linked = [...readme.matchAll(/\]\((?!https?:|#)([^)]+)\)/g)].map(([, path]) => path ?? '');
  expect(linked.length).toBeGreaterThan(1);
  for (const path of linked)
    expect({ path, exists: existsSync(new URL(`../../${path}`, import.meta.url)) }).toEqual({
      path,
      exists: true,
    });
});
