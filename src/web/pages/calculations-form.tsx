/**
 * The form of a calculation, made from its fields: parts under their titles, lists as a fixed number of
 * rows with one to spare, what is seldom measured behind a title. It is sent as a query, so that an answer
 * has an address and needs no script. Props in, HTML out.
 */
import type { Calculation } from '../calculations/calculation.ts';
import { type Field, type Fields, typedName, typedUnit } from '../calculations/field.ts';
import { prose, typedNumber, unitText } from '../calculations/shown.ts';
import { rowsShown } from '../calculations/typed.ts';
import { calculationWords, typedWords } from '../messages.ts';
import { type Refused, SelectField, TextField } from './form.tsx';

export type FormProps = {
  readonly calculation: Calculation;
  /** What was typed, by the form's names; empty before anything was. */
  readonly query: URLSearchParams;
  /** By the form's names. */
  readonly problems: Readonly<Record<string, string>>;
};

/** Digit keys of a phone may lack a minus sign, and a drink may be colder than 0 °C. */
const hasDigitKeys = (field: Field): boolean =>
  field.kind === 'number' && field.measure !== 'temperature';

const labelOf = (field: Field): string => {
  const unit = field.kind === 'number' ? unitText(typedUnit(field)) : '';
  return unit === '' ? field.label : `${field.label}, ${unit}`;
};

const presetText = (field: Field): string | undefined =>
  field.kind === 'number' && field.need === 'preset' ? typedNumber(field.preset, field) : undefined;

const InputField = ({
  form,
  name,
  field,
  inRow,
  refused,
}: {
  readonly form: string;
  readonly name: string;
  readonly field: Field;
  readonly inRow: boolean;
  readonly refused: Refused;
}) => {
  if (field.kind === 'choice')
    return (
      <SelectField
        form={form}
        name={name}
        label={field.label}
        hint={field.hint === undefined ? undefined : prose(field.hint)}
        refused={refused}
        options={Object.entries(field.options).map(([value, words]) => ({ value, words }))}
      />
    );
  const presetOfRow = inRow ? presetText(field) : undefined;
  const hints = [
    ...(field.hint === undefined ? [] : [field.hint]),
    ...(presetOfRow === undefined ? [] : [calculationWords.blankFor(presetOfRow)]),
  ];
  return (
    <TextField
      form={form}
      name={name}
      label={labelOf(field)}
      hint={hints.length === 0 ? undefined : prose(hints.join(' '))}
      decimal={hasDigitKeys(field)}
      required={!inRow && field.kind === 'number' && field.need === 'given'}
      refused={refused}
    />
  );
};

const Row = ({
  form,
  prefix,
  title,
  fields,
  refused,
}: {
  readonly form: string;
  readonly prefix: string;
  readonly title: string;
  readonly fields: Fields;
  readonly refused: Refused;
}) => {
  const all = Object.entries(fields).map(([name, field]) => ({
    name: `${prefix}${typedName(name, field)}`,
    field,
  }));
  const seldom = all.filter(({ field }) => field.seldom === true);
  const isOpen = seldom.some(
    ({ name }) => (refused.values[name] ?? '') !== '' || refused.problems[name] !== undefined,
  );
  const input = ({ name, field }: { readonly name: string; readonly field: Field }) => (
    <InputField form={form} name={name} field={field} inRow refused={refused} />
  );
  return (
    <fieldset class="form-row">
      <legend>{title}</legend>
      <div class="grid-form">{all.filter(({ field }) => field.seldom !== true).map(input)}</div>
      {seldom.length === 0 ? null : (
        <details open={isOpen}>
          <summary>
            {calculationWords.seldom}
            <span class="unseen">{`, ${title}`}</span>
          </summary>
          <div class="grid-form">{seldom.map(input)}</div>
        </details>
      )}
    </fieldset>
  );
};

type Part =
  | { readonly kind: 'fields'; readonly title: string | null; readonly names: readonly string[] }
  | { readonly kind: 'rows'; readonly name: string };

/** Fields that follow each other under one title make a part; each list is a part of its own. */
const partsOf = (inputs: Fields): readonly Part[] => {
  const parts: Part[] = [];
  for (const [name, field] of Object.entries(inputs)) {
    const last = parts.at(-1);
    const title = field.part ?? null;
    if (field.kind === 'rows') parts.push({ kind: 'rows', name });
    else if (last?.kind === 'fields' && last.title === title)
      parts[parts.length - 1] = { ...last, names: [...last.names, name] };
    else parts.push({ kind: 'fields', title, names: [name] });
  }
  return parts;
};

/** Before anything is typed, what stands at a usual value shows it. */
const presets = (inputs: Fields): Readonly<Record<string, string>> =>
  Object.fromEntries(
    Object.entries(inputs).flatMap(([name, field]) => {
      const text = presetText(field);
      return text === undefined ? [] : [[typedName(name, field), text]];
    }),
  );

const withRowFields = (inputs: Fields): readonly Field[] =>
  Object.values(inputs).flatMap((field) =>
    field.kind === 'rows' ? Object.values(field.fields) : [field],
  );

/** An example for each kind of quantity that the form asks for and that has other units. */
const unitExamplesOf = (inputs: Fields): readonly string[] => {
  const asked = new Set(
    withRowFields(inputs).flatMap((field) => (field.kind === 'number' ? [field.measure] : [])),
  );
  return Object.entries(calculationWords.unitExamples).flatMap(([measure, example]) =>
    asked.has(measure as keyof typeof calculationWords.unitExamples) ? [example] : [],
  );
};

export const CalculationForm = ({ calculation, query, problems }: FormProps) => {
  const { name: form, inputs } = calculation;
  const refused: Refused = {
    problems,
    values: query.size === 0 ? presets(inputs) : Object.fromEntries(query),
  };
  const unitExamples = unitExamplesOf(inputs);
  const fieldNamed = (name: string) => {
    const field = inputs[name];
    return field === undefined ? null : (
      <InputField
        form={form}
        name={typedName(name, field)}
        field={field}
        inRow={false}
        refused={refused}
      />
    );
  };
  return (
    <form method="get" action={`/calculations/${form}#answer`} class="sum-form">
      {partsOf(inputs).map((part) => {
        if (part.kind === 'fields') {
          const grid = <div class="grid-form">{part.names.map(fieldNamed)}</div>;
          return part.title === null ? (
            grid
          ) : (
            <fieldset class="form-part">
              <legend>{part.title}</legend>
              {grid}
            </fieldset>
          );
        }
        const field = inputs[part.name];
        if (field?.kind !== 'rows') return null;
        const rows = Array.from({ length: rowsShown(part.name, field, query) }, (_, row) => row);
        return (
          <div class="form-rows">
            <h2>{field.label}</h2>
            {field.hint === undefined ? null : <p class="hint">{prose(field.hint)}</p>}
            {rows.map((row) => (
              <Row
                form={form}
                prefix={`${part.name}.${row}.`}
                title={typedWords.row(field.each, row)}
                fields={field.fields}
                refused={refused}
              />
            ))}
          </div>
        );
      })}
      {unitExamples.length === 0 ? null : (
        <p class="hint">{prose(calculationWords.units(unitExamples))}</p>
      )}
      <p class="sum-acts">
        <button type="submit">{calculationWords.workOut}</button>
      </p>
    </form>
  );
};
