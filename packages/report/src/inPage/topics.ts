import type { Choices } from './address.js';

/** Opens the topics that were chosen, keeps the choice up to date, and lets the contents follow the reader. */
export function followTopics(choices: Choices, changed: () => void, opened: () => void): void {
  applyTopics(choices);
  document.addEventListener(
    'toggle',
    (event) => {
      const topic = event.target as HTMLDetailsElement;
      if (topic.open) opened();
      if (!topic.classList?.contains('topic')) return;
      if (topic.open) choices.open.add(topic.id);
      else choices.open.delete(topic.id);
      changed();
    },
    true,
  );
  document.addEventListener('click', (event) => {
    const link = (event.target as Element).closest?.<HTMLAnchorElement>('a[href^="#"]');
    const target = link === null || link === undefined ? null : document.getElementById(link.getAttribute('href')!.slice(1));
    if (target === null) return;
    event.preventDefault();
    showTopic(target);
  });
}

/** Opens and closes topics as chosen. */
export function applyTopics(choices: Choices): void {
  for (const topic of document.querySelectorAll<HTMLDetailsElement>('.topic')) topic.open = choices.open.has(topic.id);
}

/** Brings a part of the page into sight, opened. */
export function showTopic(target: HTMLElement): void {
  for (let part: Element | null = target; part !== null; part = part.parentElement)
    if (part instanceof HTMLDetailsElement) part.open = true;
  target.scrollIntoView({ block: 'start' });
  target.querySelector<HTMLElement>('summary')?.focus({ preventScroll: true });
}

/** Marks in the contents what is being read. */
export function followReader(): void {
  const links = new Map(
    [...document.querySelectorAll<HTMLAnchorElement>('.contents a')].map((link) => [link.getAttribute('href')!.slice(1), link]),
  );
  const parts = [...links.keys()].flatMap((id) => document.getElementById(id) ?? []);
  let waiting = false;
  const mark = (): void => {
    waiting = false;
    const read = parts.filter((part) => part.getBoundingClientRect().top < innerHeight / 3).at(-1) ?? parts[0];
    for (const [id, link] of links) {
      if (id === read?.id) link.setAttribute('aria-current', 'true');
      else link.removeAttribute('aria-current');
    }
  };
  addEventListener('scroll', () => {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(mark);
  });
  mark();
}
