/**
 * Brings a part of the page to the state the server sent, in place: elements that stay keep their
 * focus, their typed text and their open state. What a person typed is never removed; an element that
 * left the page but still holds typed text is kept and marked. `data-keep` shields what scripts drew.
 */
import { liveWords } from '../messages.ts';
import { holdsTyped } from './typed.ts';

/** State that belongs to the person, not to the server. */
const ownedByPerson = new Set(['open', 'value', 'checked', 'selected']);

const matchAttributes = (from: Element, to: Element): void => {
  for (const { name } of [...from.attributes])
    if (!to.hasAttribute(name) && !ownedByPerson.has(name)) from.removeAttribute(name);
  for (const { name, value } of [...to.attributes])
    if (!ownedByPerson.has(name) && from.getAttribute(name) !== value)
      from.setAttribute(name, value);
};

const idOf = (node: Node): string => (node instanceof Element ? node.id : '');

const alike = (one: Node, other: Node): boolean =>
  one.nodeName === other.nodeName && idOf(one) === idOf(other);

/** Puts a node where it belongs; `moveBefore` keeps focus where the browser has it. */
const place = (parent: Element, node: Node, before: Node | null): void => {
  if ('moveBefore' in parent && node.parentNode === parent) parent.moveBefore(node, before);
  else parent.insertBefore(node, before);
};

const markLeft = (node: Node): void => {
  if (!(node instanceof Element) || node.hasAttribute('data-left')) return;
  node.setAttribute('data-left', '');
  const notice = document.createElement('p');
  notice.className = 'left-notice';
  notice.textContent = liveWords.heldNote;
  node.prepend(notice);
};

const morphNode = (from: Node, to: Node): void => {
  if (!(from instanceof Element) || !(to instanceof Element)) {
    if (from.nodeValue !== to.nodeValue) from.nodeValue = to.nodeValue;
    return;
  }
  if (from.hasAttribute('data-keep') && to.hasAttribute('data-keep')) return;
  if (
    from instanceof HTMLTimeElement &&
    from.getAttribute('datetime') === to.getAttribute('datetime')
  )
    return;
  matchAttributes(from, to);
  if (!(from instanceof HTMLTextAreaElement)) morph(from, to);
};

/** Makes the children of `from` what the children of `to` are. */
export const morph = (from: Element, to: Element): void => {
  const keyed = new Map(
    [...from.children].filter((child) => child.id !== '').map((child) => [child.id, child]),
  );
  let cursor: Node | null = from.firstChild;
  for (const wanted of [...to.childNodes]) {
    const found: Node | null | undefined =
      idOf(wanted) === ''
        ? cursor !== null && alike(cursor, wanted)
          ? cursor
          : null
        : keyed.get(idOf(wanted));
    if (found === null || found === undefined || !alike(found, wanted)) {
      from.insertBefore(document.importNode(wanted, true), cursor);
      continue;
    }
    if (found === cursor) cursor = cursor.nextSibling;
    else place(from, found, cursor);
    morphNode(found, wanted);
  }
  while (cursor !== null) {
    const next: Node | null = cursor.nextSibling;
    if (holdsTyped(cursor)) markLeft(cursor);
    else if (cursor.parentNode === from) from.removeChild(cursor);
    cursor = next;
  }
};
