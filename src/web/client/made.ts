/** An element with its class and its text. */
export const made = (name: string, className: string, text = ''): HTMLElement => {
  const element = document.createElement(name);
  if (className !== '') element.className = className;
  element.textContent = text;
  return element;
};
