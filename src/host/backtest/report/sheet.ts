/**
 * The report's style sheet as one text: the page's own sheet with its fonts inside, and what only a report needs. It
 * is bundled when a report is written, so that a report and the page never part in colour or type.
 */
import { fileURLToPath } from 'node:url';

export const reportSheet = async (): Promise<string> => {
  const { build } = await import('esbuild');
  const { outputFiles } = await build({
    entryPoints: [fileURLToPath(new URL('report.css', import.meta.url))],
    bundle: true,
    minify: true,
    write: false,
    outdir: 'report',
    loader: { '.woff2': 'dataurl' },
    legalComments: 'none',
    logLevel: 'error',
  });
  return outputFiles[0]?.text ?? '';
};
