/** Requests to a mail relay from a template. Outside truth: JSON and form encoding as the platform reads them. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  checkTemplate,
  fillTemplate,
  type MessageTemplate,
  placeholders,
  type TemplateValues,
  templateFaultInWords,
} from '../../src/wire/message-template.ts';

const json: MessageTemplate = {
  method: 'POST',
  headers: { 'Content-Type': 'application/json', Authorization: 'Bearer abc', 'X-Once': '{{id}}' },
  body: '{"to":["maren@skerrow.example"],"subject":"Cellar: {{headline}}","text":"{{text}}\\n{{ link }}"}',
};
const form: MessageTemplate = {
  method: 'POST',
  headers: { 'content-type': 'application/x-www-form-urlencoded' },
  body: 'to=maren%40skerrow.example&subject={{headline}}&text={{text}}',
};

const values = fc
  .tuple(...placeholders.map(() => fc.string({ unit: 'grapheme' })))
  .map(
    (texts) =>
      Object.fromEntries(placeholders.map((name, at) => [name, texts[at] ?? ''])) as TemplateValues,
  );

describe('filling in', () => {
  it('keeps every text in its place, in JSON', () => {
    fc.assert(
      fc.property(values, (some) => {
        expect(JSON.parse(fillTemplate(json, some).body)).toEqual({
          to: ['maren@skerrow.example'],
          subject: `Cellar: ${some.headline}`,
          text: `${some.text}\n${some.link}`,
        });
      }),
    );
  });

  it('keeps every text in its place, in a form', () => {
    fc.assert(
      fc.property(values, (some) => {
        expect([...new URLSearchParams(fillTemplate(form, some).body)]).toEqual([
          ['to', 'maren@skerrow.example'],
          ['subject', some.headline.toWellFormed()],
          ['text', some.text.toWellFormed()],
        ]);
      }),
    );
  });

  it('fills the id into headers, and no placeholder that a text brings along', () => {
    const some = {
      ...Object.fromEntries(placeholders.map((name) => [name, ''])),
      id: 'news_1',
      text: '{{id}}',
    };
    const request = fillTemplate(json, some as TemplateValues);
    expect(request.headers['X-Once']).toBe('news_1');
    expect(JSON.parse(request.body).text).toBe('{{id}}\n');
  });
});

describe('a template that is written', () => {
  it('holds, in each media type', () => {
    const plain = { ...form, headers: { 'content-type': 'text/plain' }, body: '{{text}}' };
    for (const template of [json, form, plain]) expect(checkTemplate(template).ok).toBe(true);
  });

  it.each<[string, Partial<MessageTemplate>]>([
    ['body-not-json', { body: '{"text": {{text}}}' }],
    ['body-not-json', { body: '{"text": "{{text}}"' }],
    ['body-not-json', { body: "{'text': '{{text}}'}" }],
    ['unknown-placeholder', { body: '{"text":"{{text}} {{secret}}"}' }],
    ['no-placeholder', { body: '{"text":"hello"}' }],
    ['content-type', { headers: {} }],
    ['content-type', { headers: { 'content-type': 'application/xml' } }],
    ['content-type', { headers: { 'content-type': 'constructor' } }],
    ['header', { headers: { ...json.headers, Host: 'inside' } }],
    ['header', { headers: { ...json.headers, 'X Bad': 'a' } }],
    ['header', { headers: { ...json.headers, 'X-Split': 'a\r\nX-Other: b' } }],
    ['unknown-placeholder', { headers: { ...json.headers, 'X-Text': '{{text}}' } }],
  ])('is refused as %s: %j', (kind, change) => {
    const refused = checkTemplate({ ...json, ...change });
    if (refused.ok) throw new Error('accepted');
    expect(refused.fault.kind).toBe(kind);
    expect(templateFaultInWords(refused.fault)).not.toBe('');
  });
});
