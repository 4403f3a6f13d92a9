/** `npm run accuracy`: writes the accuracy table that the tests enforce into README.md. */
import { readFileSync, writeFileSync } from 'node:fs';
import { accuracyBegins, accuracyEnds, accuracyMarkdown } from './accuracy-markdown.ts';

const path = new URL('../../README.md', import.meta.url);
const text = readFileSync(path, 'utf8');
const from = text.indexOf(accuracyBegins);
const to = text.indexOf(accuracyEnds);
if (from < 0 || to < from) throw new Error('README.md has lost the marks of its accuracy table');
writeFileSync(
  path,
  `${text.slice(0, from + accuracyBegins.length)}\n\n${accuracyMarkdown()}\n\n${text.slice(to)}`,
);
