/**
 * The drawing inside its scrolling frame: taking in a new SVG without losing the reader's place, zoom about a point, dragging,
 * the step at the cursor. Knows the DOM; knows nothing of the editor.
 */

export interface DrawingEvents {
  /** The reader picked a step. */
  picked(step: string): void;
  /** Zoom or scroll changed. */
  moved(): void;
}

export interface View {
  readonly zoom: number;
  readonly left: number;
  readonly top: number;
}

export interface Drawing {
  show(svg: string, title: string, steps: readonly string[]): void;
  mark(step: string | undefined): void;
  zoomBy(factor: number, at?: { readonly x: number; readonly y: number }): void;
  /** Whole drawing in sight. */
  fit(): void;
  actualSize(): void;
  view(): View;
  restore(view: View): void;
}

const SVG = 'http://www.w3.org/2000/svg';
const SMALLEST = 0.1;
const LARGEST = 6;
/** Movement, in CSS pixels, below which a press is a click and not a drag. */
const CLICK_SLACK = 5;

/** Takes over `frame`, a scrolling element. */
export function createDrawing(frame: HTMLElement, events: DrawingEvents): Drawing {
  const sheet = new CSSStyleSheet();
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
  let svg: SVGSVGElement | undefined;
  let size = { width: 0, height: 0 };
  let zoom = 1;
  let order: readonly string[] = [];
  let marked: string | undefined;
  let waiting: View | undefined;

  const groupOf = (step: string | undefined): SVGGElement | undefined =>
    step === undefined || !svg ? undefined : (svg.querySelector<SVGGElement>(`[data-step="${CSS.escape(step)}"]`) ?? undefined);

  function resize(): void {
    if (!svg) return;
    svg.setAttribute('width', String(Math.round(size.width * zoom)));
    svg.setAttribute('height', String(Math.round(size.height * zoom)));
  }

  function zoomBy(factor: number, at?: { x: number; y: number }): void {
    const next = Math.min(LARGEST, Math.max(SMALLEST, zoom * factor));
    if (!svg || next === zoom) return;
    const box = frame.getBoundingClientRect();
    const x = at ? at.x - box.left : frame.clientWidth / 2;
    const y = at ? at.y - box.top : frame.clientHeight / 2;
    const before = svg.getBoundingClientRect();
    const alongX = (x + box.left - before.left) / before.width;
    const alongY = (y + box.top - before.top) / before.height;
    zoom = next;
    resize();
    const after = svg.getBoundingClientRect();
    frame.scrollLeft += after.left + alongX * after.width - (x + box.left);
    frame.scrollTop += after.top + alongY * after.height - (y + box.top);
    events.moved();
  }

  function bringIntoSight(group: SVGGElement): void {
    const box = frame.getBoundingClientRect();
    const at = group.getBoundingClientRect();
    const margin = 24;
    if (at.top < box.top + margin || at.bottom > box.bottom - margin) {
      frame.scrollTop += at.top + at.height / 2 - (box.top + box.height / 2);
    }
    if (at.left < box.left + margin || at.right > box.right - margin) {
      frame.scrollLeft += at.left + at.width / 2 - (box.left + box.width / 2);
    }
  }

  function markNow(): void {
    svg?.querySelectorAll('.step-mark').forEach((mark) => mark.remove());
    svg?.querySelectorAll('[aria-current]').forEach((group) => group.removeAttribute('aria-current'));
    const group = groupOf(marked);
    if (!group) return;
    group.setAttribute('aria-current', 'step');
    const box = group.getBBox();
    const mark = document.createElementNS(SVG, 'rect');
    mark.setAttribute('class', 'step-mark');
    mark.setAttribute('x', String(box.x - 6));
    mark.setAttribute('y', String(box.y - 6));
    mark.setAttribute('width', String(box.width + 12));
    mark.setAttribute('height', String(box.height + 12));
    mark.setAttribute('rx', '8');
    group.append(mark);
  }

  function setTabStop(step: string | undefined): void {
    if (!svg) return;
    const stop = groupOf(step) ?? groupOf(order[0]);
    svg.querySelectorAll('[data-step]').forEach((group) => group.setAttribute('tabindex', group === stop ? '0' : '-1'));
  }

  function show(text: string, title: string, steps: readonly string[]): void {
    const fresh = readSvg(text, sheet);
    if (!fresh) return;
    // A step that was in sight keeps its place on the screen, so that typing does not make the drawing jump.
    const anchor = anchorStep();
    const focused = document.activeElement?.getAttribute('data-step') ?? undefined;
    size = sizeOf(fresh);
    order = steps;
    fresh.setAttribute('role', 'group');
    fresh.setAttribute('aria-label', title);
    for (const group of fresh.querySelectorAll<SVGGElement>('[data-step]')) {
      group.setAttribute('role', 'button');
      group.setAttribute('aria-label', wordsOf(group));
    }
    const first = !svg;
    if (svg) svg.replaceWith(fresh);
    else frame.append(fresh);
    svg = fresh;
    resize();
    setTabStop(focused ?? marked);
    markNow();
    if (first && waiting) restore(waiting);
    else if (first) firstView();
    else if (anchor) {
      const group = groupOf(anchor.step);
      if (group) {
        const now = group.getBoundingClientRect();
        frame.scrollTop += now.top - anchor.top;
        frame.scrollLeft += now.left - anchor.left;
      }
    }
    if (focused) groupOf(focused)?.focus({ preventScroll: true });
  }

  function anchorStep(): { step: string; top: number; left: number } | undefined {
    if (!svg) return undefined;
    const box = frame.getBoundingClientRect();
    const seen = (step: string | undefined) => {
      const at = groupOf(step)?.getBoundingClientRect();
      return step !== undefined && at && at.bottom > box.top && at.top < box.bottom
        ? { step, top: at.top, left: at.left }
        : undefined;
    };
    return seen(marked) ?? order.map(seen).find((found) => found !== undefined);
  }

  /** Never larger than drawn; narrowed to the frame so that nothing is cut off at the side, but not until it is unreadable. */
  function firstView(): void {
    zoom = Math.max(0.5, Math.min(1, (frame.clientWidth - 16) / Math.max(1, size.width)));
    resize();
    frame.scrollLeft = Math.max(0, (frame.scrollWidth - frame.clientWidth) / 2);
    frame.scrollTop = 0;
    events.moved();
  }

  function fit(): void {
    if (!svg) return;
    zoom = Math.min(
      LARGEST,
      Math.max(SMALLEST, Math.min(frame.clientWidth / size.width, frame.clientHeight / size.height) * 0.98),
    );
    resize();
    events.moved();
  }

  function restore(view: View): void {
    if (!svg) {
      waiting = view;
      return;
    }
    waiting = undefined;
    zoom = Math.min(LARGEST, Math.max(SMALLEST, view.zoom));
    resize();
    frame.scrollTo(view.left, view.top);
  }

  function moveFocus(from: string, by: number): void {
    const group = groupOf(order[order.indexOf(from) + by]);
    if (!group) return;
    setTabStop(group.getAttribute('data-step') ?? undefined);
    group.focus({ preventScroll: true });
    bringIntoSight(group);
  }

  let drag: { x: number; y: number; left: number; top: number; moved: boolean; id: number } | undefined;
  frame.addEventListener('pointerdown', (event) => {
    if (event.pointerType === 'touch' || (event.button !== 0 && event.button !== 1)) return;
    drag = {
      x: event.clientX,
      y: event.clientY,
      left: frame.scrollLeft,
      top: frame.scrollTop,
      moved: false,
      id: event.pointerId,
    };
  });
  frame.addEventListener('pointermove', (event) => {
    if (!drag || drag.id !== event.pointerId) return;
    const dx = event.clientX - drag.x;
    const dy = event.clientY - drag.y;
    if (!drag.moved && Math.hypot(dx, dy) < CLICK_SLACK) return;
    if (!drag.moved) frame.setPointerCapture(event.pointerId);
    drag.moved = true;
    frame.classList.add('is-dragged');
    frame.scrollTo(drag.left - dx, drag.top - dy);
  });
  const endDrag = () => {
    frame.classList.remove('is-dragged');
    // The click that ends a drag comes after it.
    setTimeout(() => {
      drag = undefined;
    }, 0);
  };
  frame.addEventListener('pointerup', endDrag);
  frame.addEventListener('pointercancel', endDrag);
  frame.addEventListener('click', (event) => {
    if (drag?.moved) return;
    const step = stepOf(event.target);
    if (step !== undefined) pick(step);
  });
  frame.addEventListener(
    'wheel',
    (event) => {
      if (!event.ctrlKey && !event.metaKey) return;
      event.preventDefault();
      zoomBy(Math.exp(-event.deltaY * (event.deltaMode === 1 ? 0.05 : 0.002)), { x: event.clientX, y: event.clientY });
    },
    { passive: false },
  );
  frame.addEventListener('scroll', () => events.moved(), { passive: true });
  frame.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const step = stepOf(event.target);
    if (event.key === '+' || event.key === '=') zoomBy(1.2);
    else if (event.key === '-') zoomBy(1 / 1.2);
    else if (event.key === '0') actualSize();
    else if (event.key === '.') fit();
    else if (step !== undefined && (event.key === 'Enter' || event.key === ' ')) pick(step);
    else if (step !== undefined && event.key === 'ArrowDown') moveFocus(step, 1);
    else if (step !== undefined && event.key === 'ArrowUp') moveFocus(step, -1);
    else return;
    event.preventDefault();
  });

  function pick(step: string): void {
    setTabStop(step);
    events.picked(step);
  }

  function actualSize(): void {
    zoomBy(1 / zoom);
  }

  return {
    show,
    mark(step) {
      if (step === marked && svg?.querySelector('.step-mark')) return;
      marked = step;
      markNow();
      const group = groupOf(step);
      if (group) bringIntoSight(group);
      if (!frame.contains(document.activeElement)) setTabStop(step);
    },
    zoomBy,
    fit,
    actualSize,
    view: () => ({ zoom, left: frame.scrollLeft, top: frame.scrollTop }),
    restore,
  };
}

/**
 * Reads the drawing as XML and lets nothing through that could run or load: the server escapes what writers wrote, and this
 * holds even if it should not. The drawing's own style element becomes a sheet, as the policy refuses inline styles.
 */
function readSvg(text: string, sheet: CSSStyleSheet): SVGSVGElement | undefined {
  const rules: string[] = [];
  const bare = text.replace(/<style[^>]*>([\s\S]*?)<\/style>/g, (_, inside: string) => {
    rules.push(
      inside
        .replace(/^\s*<!\[CDATA\[|\]\]>\s*$/g, '')
        .replace(/&gt;/g, '>')
        .replace(/&quot;/g, '"')
        .replace(/&amp;/g, '&'),
    );
    return '';
  });
  const parsed = new DOMParser().parseFromString(bare, 'image/svg+xml');
  const root = parsed.documentElement;
  if (root.namespaceURI !== SVG || root.localName !== 'svg' || parsed.querySelector('parsererror')) return undefined;
  for (const element of [...root.querySelectorAll('*'), root]) {
    if (
      ['script', 'style', 'foreignObject', 'iframe', 'object', 'embed', 'image', 'animate', 'set'].includes(element.localName)
    ) {
      element.remove();
      continue;
    }
    for (const name of element.getAttributeNames()) {
      const value = element.getAttribute(name) ?? '';
      const points = /^(xlink:)?href$/i.test(name) && !value.startsWith('#');
      if (/^on/i.test(name) || name === 'style' || points) element.removeAttribute(name);
    }
  }
  // Rules that would load something are dropped by the policy as well.
  sheet.replaceSync(rules.join('\n'));
  return document.importNode(root, true) as unknown as SVGSVGElement;
}

function sizeOf(svg: SVGSVGElement): { width: number; height: number } {
  const box = svg.viewBox.baseVal;
  if (box && box.width > 0) return { width: box.width, height: box.height };
  const width = Number.parseFloat(svg.getAttribute('width') ?? '') || 600;
  const height = Number.parseFloat(svg.getAttribute('height') ?? '') || 800;
  svg.setAttribute('viewBox', `0 0 ${width} ${height}`);
  return { width, height };
}

function stepOf(target: EventTarget | null): string | undefined {
  return target instanceof Element ? (target.closest('[data-step]')?.getAttribute('data-step') ?? undefined) : undefined;
}

function wordsOf(group: Element): string {
  const own = [...group.children].find((child) => child.localName === 'title')?.textContent;
  const words = own ?? [...group.querySelectorAll('text')].map((text) => text.textContent ?? '').join(' ');
  return words.replace(/\s+/g, ' ').trim() || (group.getAttribute('data-step') ?? '');
}
