/** Requests made from the operations of the interface document, and answers held against its schemas. */
import { Validator } from '@cfworker/json-schema';
import { app } from '../../src/web/app.ts';
import { interfaceDocument } from '../../src/web/interface/document.ts';
import type { Body, Operation } from '../../src/web/interface/operation.ts';
import { parameters } from '../../src/web/interface/parameters.ts';
import { testEnv } from './cellar-fixture.ts';

/**
 * The address with its parameters filled in, by the values given or else by the examples, and with what a body of
 * this media type wants to be said there.
 */
export const pathOf = (
  { path, bodies }: Operation,
  values: Readonly<Record<string, string>> = {},
  media: string | undefined = Object.keys(bodies ?? {})[0],
): string => {
  const filled = path.replaceAll(/\{([a-z]+)\}/g, (_, name: string) =>
    encodeURIComponent(values[name] ?? parameters[name]?.example ?? name),
  );
  const query = new URLSearchParams(media === undefined ? {} : bodies?.[media]?.query);
  return query.size === 0 ? filled : `${filled}?${query}`;
};

const bodyText = (media: string, example: unknown): string | Uint8Array<ArrayBuffer> => {
  if (example instanceof Uint8Array) return Uint8Array.from(example);
  return typeof example === 'string' && !media.endsWith('json') ? example : JSON.stringify(example);
};

/**
 * Asks the worker without leaving the isolate, the clock included: a hop for each request would be most of the work
 * where there are thousands.
 */
export const askInside = async (
  path: string,
  init: RequestInit,
  seconds: number,
): Promise<Response> =>
  app.fetch(new Request(`http://cellar.test${path}`, { redirect: 'manual', ...init }), {
    ...testEnv,
    CLOCK: { fetch: async () => new Response(String(seconds)) } as unknown as Fetcher,
  });

/** The request of an example; `key` null sends none. */
export const exampleRequest = (
  { method, bodies }: Operation,
  key: string | null,
  media: string | undefined = Object.keys(bodies ?? {})[0],
): RequestInit => {
  const body: Body | undefined = media === undefined ? undefined : bodies?.[media];
  return {
    method: method.toUpperCase(),
    headers: {
      ...(key === null ? {} : { authorization: `Bearer ${key}` }),
      ...(media === undefined ? {} : { 'content-type': media }),
    },
    ...(body === undefined || media === undefined ? {} : { body: bodyText(media, body.example) }),
  };
};

type Documented = {
  readonly responses: Readonly<
    Record<string, { readonly content?: Readonly<Record<string, { schema?: object }>> }>
  >;
};

const documented = ({ path, method }: Operation): Documented | undefined =>
  interfaceDocument().paths[path]?.[method] as Documented | undefined;

export const documentedStatuses = (operation: Operation): readonly string[] =>
  Object.keys(documented(operation)?.responses ?? {});

/** The schema of a body as the document has it; null where it has none. */
export const bodySchemaOf = (
  { path, method }: Operation,
  media: string,
): Readonly<Record<string, unknown>> | null => {
  const operation = interfaceDocument().paths[path]?.[method] as
    | { readonly requestBody?: { readonly content: Record<string, { schema?: object }> } }
    | undefined;
  const schema = operation?.requestBody?.content[media]?.schema;
  return schema === undefined ? null : { ...schema };
};

const validators = new Map<string, Validator>();

const validatorOf = (schema: object): Validator => {
  const name = JSON.stringify(schema);
  const made =
    validators.get(name) ??
    new Validator({ ...schema, components: interfaceDocument().components }, '2020-12', false);
  validators.set(name, made);
  return made;
};

/** What is wrong with an answer by the document; empty where nothing is. Takes the answer's body. */
export const faultsOf = async (
  operation: Operation,
  answer: Response,
): Promise<readonly string[]> => {
  const responses = documented(operation)?.responses ?? {};
  const status = String(answer.status);
  const said = responses[status] ?? (answer.status >= 500 ? responses.default : undefined);
  const text = await answer.text();
  if (said === undefined) return [`status ${status} is not documented: ${text.slice(0, 200)}`];
  const media = answer.headers.get('content-type') ?? '';
  if (said.content === undefined) return text === '' ? [] : [`a body where none is documented`];
  const entry = Object.entries(said.content).find(([type]) => media.startsWith(type));
  if (entry === undefined) return [`media type ${media} is not documented for ${status}`];
  const { schema } = entry[1];
  if (schema === undefined) return [];
  const { valid, errors } = validatorOf(schema).validate(JSON.parse(text));
  return valid ? [] : errors.map(({ instanceLocation, error }) => `${instanceLocation}: ${error}`);
};
