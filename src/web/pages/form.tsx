/**
 * Form parts: a posting form, and labelled fields that carry
 * their hint and their problem where a screen reader finds them. Props in, HTML out.
 */
import type { Child } from 'hono/jsx';

export const PostForm = ({
  action,
  class: className,
  children,
}: {
  readonly action: string;
  readonly class?: string | undefined;
  readonly children?: Child;
}) => (
  <form method="post" action={action} class={className}>
    {children}
  </form>
);

/** What a person typed and what was wrong with it, by field name. */
export type Refused = {
  readonly problems: Readonly<Record<string, string>>;
  readonly values: Readonly<Record<string, string>>;
};

type Labelled = {
  /** Keeps the ids of several forms on one page apart. */
  readonly form: string;
  readonly name: string;
  readonly label: string;
  readonly hint?: string | undefined;
  readonly refused?: Refused | undefined;
};

export const fieldId = (form: string, name: string): string => `${form}-${name}`;

const describedBy = ({ form, name, hint, refused }: Labelled): string | undefined => {
  const id = fieldId(form, name);
  const ids = [
    ...(hint === undefined ? [] : [`${id}-hint`]),
    ...(refused?.problems[name] === undefined ? [] : [`${id}-problem`]),
  ];
  return ids.length === 0 ? undefined : ids.join(' ');
};

const Around = ({ field, children }: { readonly field: Labelled; readonly children?: Child }) => {
  const id = fieldId(field.form, field.name);
  const problem = field.refused?.problems[field.name];
  return (
    <div class={problem === undefined ? 'field' : 'field field-refused'}>
      <label for={id}>{field.label}</label>
      {field.hint === undefined ? null : (
        <p class="hint" id={`${id}-hint`}>
          {field.hint}
        </p>
      )}
      {children}
      {problem === undefined ? null : (
        <p class="problem" id={`${id}-problem`}>
          {problem}
        </p>
      )}
    </div>
  );
};

/** The page's script sends a moment with a trailing Z, which the field itself does not take back. */
const typedBefore = ({ name, refused }: Labelled, type: string): string | undefined => {
  const typed = refused?.values[name];
  return type === 'datetime-local' ? typed?.replace(/Z$/, '') : typed;
};

export const TextField = ({
  required = false,
  decimal = false,
  type = 'text',
  autocomplete = 'off',
  ...field
}: Labelled & {
  readonly required?: boolean;
  /** Asks a phone for its number keys without the spinning of a number field. */
  readonly decimal?: boolean;
  readonly type?: 'text' | 'password' | 'url' | 'datetime-local';
  readonly autocomplete?: string;
}) => (
  <Around field={field}>
    <input
      id={fieldId(field.form, field.name)}
      name={field.name}
      type={type}
      inputmode={decimal ? 'decimal' : undefined}
      required={required}
      autocomplete={autocomplete}
      autocapitalize={type === 'text' ? undefined : 'none'}
      spellcheck={type === 'text'}
      value={type === 'password' ? undefined : typedBefore(field, type)}
      aria-describedby={describedBy(field)}
      aria-invalid={field.refused?.problems[field.name] === undefined ? undefined : 'true'}
    />
  </Around>
);

export const SelectField = ({
  options,
  chosen,
  ...field
}: Labelled & {
  readonly options: readonly { readonly value: string; readonly words: string }[];
  readonly chosen?: string | undefined;
}) => {
  const selected = field.refused?.values[field.name] ?? chosen;
  return (
    <Around field={field}>
      <select
        id={fieldId(field.form, field.name)}
        name={field.name}
        aria-describedby={describedBy(field)}
        aria-invalid={field.refused?.problems[field.name] === undefined ? undefined : 'true'}
      >
        {options.map((option) => (
          <option value={option.value} selected={option.value === selected}>
            {option.words}
          </option>
        ))}
      </select>
    </Around>
  );
};

export const NoteField = ({
  required = false,
  ...field
}: Labelled & { readonly required?: boolean }) => (
  <Around field={field}>
    <textarea
      id={fieldId(field.form, field.name)}
      name={field.name}
      rows={2}
      maxlength={500}
      required={required}
      aria-describedby={describedBy(field)}
    ></textarea>
  </Around>
);

/** A long text, begun with a sample. */
export const AreaField = ({ sample, ...field }: Labelled & { readonly sample: string }) => (
  <Around field={field}>
    <textarea
      id={fieldId(field.form, field.name)}
      name={field.name}
      rows={6}
      required
      spellcheck={false}
      aria-describedby={describedBy(field)}
      aria-invalid={field.refused?.problems[field.name] === undefined ? undefined : 'true'}
    >
      {field.refused?.values[field.name] ?? sample}
    </textarea>
  </Around>
);

export const CheckField = ({
  form,
  name,
  value,
  label,
  checked,
}: {
  readonly form: string;
  readonly name: string;
  readonly value: string;
  readonly label: string;
  readonly checked: boolean;
}) => (
  <label class="check" for={`${fieldId(form, name)}-${value}`}>
    <input
      id={`${fieldId(form, name)}-${value}`}
      type="checkbox"
      name={name}
      value={value}
      checked={checked}
    />
    <span>{label}</span>
  </label>
);
