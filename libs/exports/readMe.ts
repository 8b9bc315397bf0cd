/** What lies where in an export, for whoever opens it years later. */
import type { ExportEntry } from './exportEntry.js';

export const readMe = (
  title: string,
  parts: readonly (readonly [path: string, what: string])[],
): ExportEntry => ({
  path: 'README.md',
  text: `# ${title.replaceAll(/[\r\n]+/g, ' ')}

Made by Sojourn. Every file is in an open format: Markdown, JSON, CSV (RFC 4180, UTF-8), iCalendar, ZIP, and files as
they came. Times are UTC (ISO 8601).

${parts.map(([path, what]) => `- **${path}**: ${what}`).join('\n')}
`,
});
