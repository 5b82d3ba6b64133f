import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

/** A page that report made, shown inside this one at its own height, so that there is one thing to scroll. */
export function ReportFrame({ page, title }: { readonly page: string; readonly title: string }): JSX.Element {
  const frame = useRef<HTMLIFrameElement>(null);
  useEffect(() => {
    const element = frame.current;
    if (element === null) return;
    let watch: ResizeObserver | undefined;
    const fit = (): void => {
      const body = element.contentDocument?.body;
      if (body) element.style.height = `${Math.ceil(body.getBoundingClientRect().height) + 2}px`;
    };
    const loaded = (): void => {
      watch?.disconnect();
      const body = element.contentDocument?.body;
      if (!body) return;
      watch = new ResizeObserver(fit);
      watch.observe(body);
      fit();
    };
    element.addEventListener('load', loaded);
    element.srcdoc = page;
    return () => {
      watch?.disconnect();
      element.removeEventListener('load', loaded);
    };
  }, [page]);
  return <iframe ref={frame} class="report" title={title} />;
}
