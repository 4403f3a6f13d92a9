/** Whether a person has typed or chosen something under a node that is not sent yet. */
const fieldHoldsTyped = (field: Element): boolean => {
  if (field instanceof HTMLTextAreaElement) return field.value !== field.defaultValue;
  if (field instanceof HTMLSelectElement) {
    const untouched = Math.max(
      0,
      [...field.options].findIndex((option) => option.defaultSelected),
    );
    return field.selectedIndex !== untouched;
  }
  if (!(field instanceof HTMLInputElement) || field.type === 'hidden') return false;
  return field.type === 'checkbox'
    ? field.checked !== field.defaultChecked
    : field.value !== field.defaultValue;
};

export const holdsTyped = (node: Node): boolean =>
  node instanceof Element &&
  [node, ...node.querySelectorAll('input, textarea, select')].some(fieldHoldsTyped);
