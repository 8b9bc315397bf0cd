/** HTML whose every value is escaped unless it says that it is HTML already. */

export class Html {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
}
type Value = string | number | Html | null | undefined | false | readonly Value[];

const signs: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};
export const escapeHtml = (text: string): string =>
  text.replaceAll(/[&<>"']/g, (sign) => signs[sign] ?? sign);

function say(value: Value): string {
  if (value === null || value === undefined || value === false) return '';
  if (value instanceof Html) return value.text;
  if (Array.isArray(value)) return (value as readonly Value[]).map(say).join('');
  return escapeHtml(typeof value === 'number' ? String(value) : (value as string));
}

export function html(parts: TemplateStringsArray, ...values: readonly Value[]): Html {
  return new Html(
    parts.map((part, index) => part + (index < values.length ? say(values[index]) : '')).join(''),
  );
}
