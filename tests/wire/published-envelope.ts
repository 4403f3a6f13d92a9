/** The JSON schema that the CloudEvents project publishes (fixtures/standards/README.md), as a checker. */
import { type Schema, Validator } from '@cfworker/json-schema';
import schema from '../../fixtures/standards/cloudevents_schema.json' with { type: 'json' };

const validator = new Validator(schema as Schema, '7', false);

/** What is wrong with an event; empty where nothing is. */
export const envelopeFaults = (event: unknown): readonly string[] =>
  validator
    .validate(event)
    .errors.map(({ instanceLocation, error }) => `${instanceLocation}: ${error}`);
