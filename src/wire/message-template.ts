/**
 * A request to somebody's mail relay, made from a template: placeholders such as {{headline}} in the body are
 * filled in, escaped for the body's media type, so that no text can break out of its place. Whether a
 * template holds is found out when it is written, by filling it with hostile text. Pure: no I/O, no clock.
 */
import { fail, ok, type Result } from '../result.ts';

export type MessageTemplate = {
  readonly method: 'POST' | 'PUT';
  /** With a content-type; {{id}} may stand in a value, the same at each try. */
  readonly headers: Readonly<Record<string, string>>;
  readonly body: string;
};

export const placeholders = [
  'id',
  'headline',
  'text',
  'cellar',
  'vessel',
  'priority',
  'link',
] as const;

export type TemplateValues = Readonly<Record<(typeof placeholders)[number], string>>;

export type TemplateFault =
  | { readonly kind: 'unknown-placeholder'; readonly name: string }
  | { readonly kind: 'no-placeholder' }
  | { readonly kind: 'content-type'; readonly found: string }
  | { readonly kind: 'header'; readonly name: string }
  | { readonly kind: 'body-not-json' };

export const templateFaultInWords = (fault: TemplateFault): string => {
  switch (fault.kind) {
    case 'unknown-placeholder':
      return `has the placeholder {{${fault.name.slice(0, 40)}}}; there are ${placeholders.map((name) => `{{${name}}}`).join(', ')}, and in headers {{id}} only`;
    case 'no-placeholder':
      return 'must hold {{text}} or {{headline}}, or nothing would be told';
    case 'content-type':
      return `must name a content-type of application/json, application/x-www-form-urlencoded or text/plain (found ${fault.found === '' ? 'none' : fault.found.slice(0, 60)})`;
    case 'header':
      return `must not set the header ${fault.name.slice(0, 40)}, or it holds characters that no header may`;
    case 'body-not-json':
      return 'must be JSON with each placeholder inside a text in double quotes';
  }
};

type Escape = (value: string) => string;

const escapes: Readonly<Record<string, Escape>> = {
  'application/json': (value) => JSON.stringify(value).slice(1, -1),
  'application/x-www-form-urlencoded': (value) => encodeURIComponent(value.toWellFormed()),
  'text/plain': (value) => value,
};

const mediaType = (headers: MessageTemplate['headers']): string =>
  (Object.entries(headers).find(([name]) => name.toLowerCase() === 'content-type')?.[1] ?? '')
    .split(';')[0]
    ?.trim()
    .toLowerCase() ?? '';

const marks = /\{\{\s*([^{}]*?)\s*\}\}/g;

const filled = (text: string, values: Readonly<Record<string, string>>, escaped: Escape): string =>
  text.replaceAll(marks, (_, name: string) => escaped(values[name] ?? ''));

export type FilledRequest = {
  readonly method: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: string;
};

export const fillTemplate = (
  { method, headers, body }: MessageTemplate,
  values: TemplateValues,
): FilledRequest => ({
  method,
  headers: Object.fromEntries(
    Object.entries(headers).map(([name, value]) => [
      name,
      filled(value, { id: values.id }, (id) => id),
    ]),
  ),
  body: filled(body, values, escapes[mediaType(headers)] ?? ((value) => value)),
});

/** Set by the platform, or meant for the way and not for the relay. */
const forbiddenHeader =
  /^(host|content-length|transfer-encoding|connection|upgrade|te|trailer|cookie|proxy-.*|sec-.*)$/i;

const unknownIn = (text: string, known: readonly string[]): string | undefined =>
  [...text.matchAll(marks)].map(([, name]) => name ?? '').find((name) => !known.includes(name));

const everyValue = (value: string): TemplateValues =>
  Object.fromEntries(placeholders.map((name) => [name, value])) as TemplateValues;

/** The JSON with every text in it blanked: its structure alone. */
const structure = (json: string): string | null => {
  try {
    return JSON.stringify(JSON.parse(json), (_, value: unknown) =>
      typeof value === 'string' ? '' : value,
    );
  } catch {
    return null;
  }
};

const hostile = '"}],{"a":1}\\\n\u2028</script>{{text}}';

export const checkTemplate = (template: MessageTemplate): Result<null, TemplateFault> => {
  const { headers, body } = template;
  for (const [name, value] of Object.entries(headers)) {
    if (
      !/^[\w!#$%&'*+.^`|~-]+$/.test(name) ||
      forbiddenHeader.test(name) ||
      !/^[\t -~]*$/.test(value)
    )
      return fail({ kind: 'header', name });
    const unknown = unknownIn(value, ['id']);
    if (unknown !== undefined) return fail({ kind: 'unknown-placeholder', name: unknown });
  }
  const type = mediaType(headers);
  if (!Object.hasOwn(escapes, type)) return fail({ kind: 'content-type', found: type });
  const unknown = unknownIn(body, placeholders);
  if (unknown !== undefined) return fail({ kind: 'unknown-placeholder', name: unknown });
  if (!/\{\{\s*(text|headline)\s*\}\}/.test(body)) return fail({ kind: 'no-placeholder' });
  if (type !== 'application/json') return ok(null);
  const plain = structure(fillTemplate(template, everyValue('x')).body);
  const harsh = structure(fillTemplate(template, everyValue(hostile)).body);
  return plain !== null && plain === harsh ? ok(null) : fail({ kind: 'body-not-json' });
};
