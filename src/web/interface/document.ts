/**
 * The interface as an OpenAPI 3.1 document, made from the list of operations and the schemas by which requests
 * are checked. It is made once, when it is first asked for. Pure: no I/O, no clock.
 */
import * as z from 'zod';
import { problemMediaType } from '../../wire/problem-details.ts';
import { problem } from './answers/cellar-answers.ts';
import type { Answer, Operation, Who } from './operation.ts';
import { operations } from './operations.ts';
import { parameters, parametersOf } from './parameters.ts';
import { refusalsOf, refusalWords } from './refusals.ts';
import { answerBook, bodyBook } from './schema-book.ts';

type Json = Readonly<Record<string, unknown>>;
type Book = typeof bodyBook;

const reference = (id: string): string => `#/components/schemas/${id}`;

/** Schemas that belong to one operation alone are named after it. */
const namedIn = (book: Book, schema: z.ZodType, id: string): Json => {
  if (!book.has(schema)) book.add(schema, { id });
  return { $ref: reference(book.get(schema)?.id ?? id) };
};

const components = (book: Book, io: 'input' | 'output'): Json => {
  const { schemas } = z.toJSONSchema(book, { io, uri: reference });
  return Object.fromEntries(
    Object.entries(schemas).map(([id, { $schema: _, $id: __, ...schema }]) => [id, schema]),
  );
};

const withSchema = (schema: Json | null, example?: unknown): Json => ({
  ...(schema === null ? {} : { schema }),
  ...(example === undefined || example instanceof Uint8Array ? {} : { example }),
});

const bodyOf = ({ id, bodies }: Operation): Json =>
  bodies === undefined
    ? {}
    : {
        requestBody: {
          required: true,
          content: Object.fromEntries(
            Object.entries(bodies).map(([media, { schema, example }]) => [
              media,
              withSchema(schema && namedIn(bodyBook, schema, `${id}-body`), example),
            ]),
          ),
        },
      };

const contentOf = (id: string, media: Answer['media']): Json =>
  Object.keys(media).length === 0
    ? {}
    : {
        content: Object.fromEntries(
          Object.entries(media).map(([type, schema]) => [
            type,
            withSchema(schema && namedIn(answerBook, schema, `${id}-answer`)),
          ]),
        ),
      };

const refusal = (description: string): Json => ({
  description,
  content: { [problemMediaType]: { schema: namedIn(answerBook, problem, 'Problem') } },
});

const queryOf = ({ query }: Operation): readonly Json[] => {
  if (query === undefined) return [];
  const { properties = {}, required = [] } = z.toJSONSchema(query, { io: 'input' });
  return Object.entries(properties).map(([name, schema]) => ({
    name,
    in: 'query',
    required: required.includes(name),
    schema,
  }));
};

const pathParametersOf = ({ path }: Operation): readonly Json[] =>
  parametersOf(path).map((name) => {
    const known = parameters[name];
    if (known === undefined) throw new Error(`parameters.ts says nothing of {${name}} in ${path}`);
    const { words, example, pattern } = known;
    return {
      name,
      in: 'path',
      required: true,
      description: words,
      example,
      schema: { type: 'string', ...(pattern === undefined ? {} : { pattern }) },
    };
  });

const securityOf = (who: Who): readonly Json[] => {
  if (who === 'anyone') return [];
  return [who === 'host' ? { 'operator-secret': [] } : { key: [] }];
};

/** In words, since the standard has no place for roles of a bearer key. */
export const whoInWords = (who: Who): string => {
  if (who === 'anyone') return 'Anyone who can reach the server.';
  if (who === 'host') return 'Whoever runs the server, with its operator secret.';
  return `Keys of these roles: ${who.join(', ')}.`;
};

const described = (operation: Operation): Json => {
  const { id, group, title, words, who, answer } = operation;
  return {
    operationId: id,
    tags: [group],
    summary: title,
    description: [words ?? '', whoInWords(who)].join('\n\n').trim(),
    security: securityOf(who),
    ...(typeof who === 'string' ? {} : { 'x-roles': who }),
    parameters: [...pathParametersOf(operation), ...queryOf(operation)],
    ...bodyOf(operation),
    responses: {
      [answer.status]: { description: answer.words, ...contentOf(id, answer.media) },
      ...Object.fromEntries(
        refusalsOf(operation).map((status) => [
          status,
          refusal(refusalWords[status] ?? 'Refused.'),
        ]),
      ),
      default: refusal('Something went wrong on our side; 503 means: send it again.'),
    },
  };
};

const makeDocument = () => {
  const paths: Record<string, Record<string, Json>> = {};
  for (const operation of operations) {
    paths[operation.path] = {
      ...paths[operation.path],
      [operation.method]: described(operation),
    };
  }
  return {
    openapi: '3.1.0',
    info: {
      title: 'Gyleward',
      version: '1',
      summary: 'Watches the fermentations and closed vessels of a small cellar.',
      description:
        'Times are Unix seconds; a request may also give a date and time after RFC 3339. Refusals are problem details after RFC 9457 and say what to do next. Gyleward advises: it is no relief valve and no gas detector.',
    },
    servers: [{ url: '/' }],
    tags: [...new Set(operations.map(({ group }) => group))].map((name) => ({ name })),
    paths,
    components: {
      securitySchemes: {
        key: {
          type: 'http',
          scheme: 'bearer',
          description: 'A key of the cellar, as a keeper makes it.',
        },
        'operator-secret': {
          type: 'http',
          scheme: 'bearer',
          description: 'OPERATOR_SECRET of the server.',
        },
      },
      schemas: { ...components(bodyBook, 'input'), ...components(answerBook, 'output') },
    },
  };
};

export type InterfaceDocument = ReturnType<typeof makeDocument>;

let made: InterfaceDocument | null = null;

export const interfaceDocument = (): InterfaceDocument => {
  made ??= makeDocument();
  return made;
};
