/**
 * A `datetime-local` field has no zone. With scripts it is read in the person's own time and sent as
 * UTC with a trailing Z; without them the field says UTC and is sent bare.
 */
import { setUpWords } from '../messages.ts';

export const localiseForms = (root: ParentNode): void => {
  // A time zone that nobody has named yet is most likely the person's own.
  for (const field of root.querySelectorAll<HTMLInputElement>('input[name="zone"]'))
    if (field.value === '') field.value = Intl.DateTimeFormat().resolvedOptions().timeZone;
  for (const field of root.querySelectorAll<HTMLInputElement>('input[type="datetime-local"]')) {
    const hint = document.getElementById(`${field.id}-hint`);
    if (hint !== null) hint.textContent = setUpWords.fields.startedHintLocal;
    const kept = field.value === '' ? null : new Date(`${field.value}Z`);
    if (kept !== null && !Number.isNaN(kept.getTime()))
      field.value = new Date(kept.getTime() - kept.getTimezoneOffset() * 60_000)
        .toISOString()
        .slice(0, 16);
    field.form?.addEventListener('formdata', ({ formData }) => {
      const moment = field.value === '' ? null : new Date(field.value);
      if (moment !== null && !Number.isNaN(moment.getTime()))
        formData.set(field.name, `${moment.toISOString().slice(0, 16)}Z`);
    });
  }
};
