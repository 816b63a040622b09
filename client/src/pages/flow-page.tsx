/**
 * The flow beside the text: shows the drawing the server made, follows the text and is followed by it. Bundled for the flow
 * panel; asks nothing of the network.
 */
import { render } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { createDrawing } from './flow/drawing.ts';
import type { Drawing, View } from './flow/drawing.ts';
import { editorLink } from './editor-link.ts';
import type { EditorLink } from './editor-link.ts';
import type { FromFlowPage, ToFlowPage } from './messages.ts';

/** What survives hiding the panel or reloading the window; the panel reads `uri` from it. */
interface Kept {
  readonly uri?: string;
  readonly view?: View;
  /** Absent: they are shown. */
  readonly faults?: boolean;
}

const link = editorLink();
const place = document.getElementById('page');
if (link && place) render(<FlowPage link={link} />, place);

function FlowPage({ link }: { readonly link: EditorLink }) {
  const frame = useRef<HTMLDivElement>(null);
  const drawing = useRef<Drawing | undefined>(undefined);
  const [title, setTitle] = useState('');
  const [trouble, setTrouble] = useState<string>();
  const [zoom, setZoom] = useState(100);
  const [faults, setFaults] = useState(true);
  const keep = useRef<(change: Kept) => void>(() => undefined);

  useEffect(() => {
    const post = (message: FromFlowPage) => link.post(message);
    let kept = (link.kept() ?? {}) as Kept;
    keep.current = (change) => link.keep((kept = { ...kept, ...change }));
    setFaults(kept.faults ?? true);
    const made = createDrawing(frame.current!, {
      picked: (step) => post({ kind: 'reveal', step }),
      moved: () => {
        setZoom(Math.round(made.view().zoom * 100));
        keep.current({ view: made.view() });
      },
    });
    drawing.current = made;
    if (kept.view) made.restore(kept.view);
    link.onMessage((raw) => {
      const message = raw as ToFlowPage;
      if (message.kind === 'drawing') {
        setTitle(message.title);
        made.show(message.svg, `Flow of ${message.title}`, message.steps);
        keep.current({ uri: message.uri, view: made.view() });
      } else if (message.kind === 'current') made.mark(message.step);
      else if (message.kind === 'trouble') setTrouble(message.text);
    });
    post({ kind: 'ready', faults: kept.faults ?? true });
  }, [link]);

  const toggleFaults = () => {
    setFaults(!faults);
    keep.current({ faults: !faults });
    link.post({ kind: 'faults', wanted: !faults } satisfies FromFlowPage);
  };

  return (
    <main class="flow">
      <header class="flow-bar">
        <h1>{title || 'Flow'}</h1>
        <div class="flow-tools" role="toolbar" aria-label="Size of the drawing">
          <button type="button" aria-label="Smaller" title="Smaller (−)" onClick={() => drawing.current?.zoomBy(1 / 1.2)}>
            −
          </button>
          <button
            type="button"
            aria-label={`${zoom} percent. Set to 100 percent`}
            title="Actual size (0)"
            class="number"
            onClick={() => drawing.current?.actualSize()}
          >
            {zoom} %
          </button>
          <button type="button" aria-label="Larger" title="Larger (+)" onClick={() => drawing.current?.zoomBy(1.2)}>
            +
          </button>
          <button type="button" title="Whole flow (.)" onClick={() => drawing.current?.fit()}>
            Whole flow
          </button>
          <button type="button" aria-pressed={faults} title="Which faults are still possible at each step" onClick={toggleFaults}>
            Faults left
          </button>
        </div>
      </header>
      <p class="flow-trouble" role="status">
        {trouble}
      </p>
      <div
        class="flow-frame"
        ref={frame}
        tabIndex={0}
        role="region"
        aria-label="Flow. Arrow up and down move from step to step, Enter shows the step in the text."
      />
    </main>
  );
}
