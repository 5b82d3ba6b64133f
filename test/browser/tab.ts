/** A rectangle on the screen, px from the top left corner of the window. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** How a page is looked at. */
export interface View {
  readonly width: number;
  readonly height: number;
  readonly dark?: boolean;
  readonly scripts?: boolean;
}

/** A page that was opened, in whichever browser. Everything it complained of or asked for while open stands in `complaints`. */
export interface Tab {
  readonly complaints: string[];
  evaluate<R>(what: string): Promise<R>;
  waitFor(what: string): Promise<void>;
  /** Where an element stands, brought into sight. */
  boxOf(selector: string): Promise<Box>;
  click(selector: string): Promise<void>;
  move(x: number, y: number): Promise<void>;
  drag(from: readonly [number, number], to: readonly [number, number]): Promise<void>;
  wheel(deltaY: number): Promise<void>;
  press(key: string): Promise<void>;
  touch(x: number, y: number): Promise<void>;
  pdf(): Promise<Uint8Array>;
  picture(file: string): Promise<void>;
  close(): Promise<void>;
}

/** A browser that runs the tests. */
export interface TestBrowser {
  readonly name: 'chromium' | 'firefox';
  /** Opens a page from markup; `hash` is the address behind `#`. */
  open(name: string, markup: string, view: View, hash?: string): Promise<Tab>;
  close(): Promise<void>;
}

/** Brings an element into sight and measures it; for evaluation in a page. */
export const boxScript = (selector: string): string => `(() => {
  const element = document.querySelector(${JSON.stringify(selector)});
  if (element === null) throw new Error('nothing matches ' + ${JSON.stringify(selector)});
  element.scrollIntoView({ block: 'center' });
  const { x, y, width, height } = element.getBoundingClientRect();
  return { x, y, width, height };
})()`;

/** Takes down what the policy of the page refused; runs before the page's own scripts. */
export const violationScript = `globalThis.policyViolations = [];
document.addEventListener('securitypolicyviolation', (event) => globalThis.policyViolations.push(event.violatedDirective + ' ' + event.blockedURI));`;
