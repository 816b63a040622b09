/** What changed since a revision and what that does to safety, beside the text. Bundled for the review panel; asks nothing of the network. */
import { render } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { ReviewLine, ReviewResult } from '../../../server/src/lsp/protocol.ts';
import { editorLink } from './editor-link.ts';
import type { EditorLink } from './editor-link.ts';
import type { FromReviewPage, ToReviewPage } from './messages.ts';

const CLOSING = 'A program sees what is written, not what was meant. A person who knows the machine decides whether a revision is released.';

const link = editorLink();
const place = document.getElementById('page');
if (link && place) render(<ReviewPage link={link} />, place);

function ReviewPage({ link }: { readonly link: EditorLink }) {
  const [review, setReview] = useState<ReviewResult>();
  const [trouble, setTrouble] = useState<string>();
  const [since, setSince] = useState('HEAD');
  const post = (message: FromReviewPage) => link.post(message);

  useEffect(() => {
    const kept = (link.kept() ?? {}) as { uri?: string; since?: string };
    if (kept.since) setSince(kept.since);
    link.onMessage((raw) => {
      const message = raw as ToReviewPage;
      if (message.kind === 'review') {
        setReview(message.review as ReviewResult);
        setTrouble(undefined);
        link.keep({ uri: message.uri, since: (message.review as ReviewResult).since });
      } else setTrouble(message.text);
    });
    post({ kind: 'ready', since: kept.since ?? 'HEAD' });
  }, [link]);

  return (
    <main class="review">
      <h1>{review?.title ?? 'Review'}</h1>
      <p class="quiet">{review?.identity}</p>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          post({ kind: 'compare', since });
        }}
      >
        <label for="since">Compare with</label>
        <input id="since" value={since} spellcheck={false} autocomplete="off" aria-describedby="since-help" onInput={(event) => setSince(event.currentTarget.value)} />
        <button type="submit">Compare</button>
        <span id="since-help" class="quiet">A commit, tag or branch. HEAD is the last commit.</span>
      </form>
      <p class="trouble" role="status">
        {trouble}
      </p>
      {review && review.sections.length === 0 ? <p>Nothing has changed since {review.since} that bears on the procedure.</p> : null}
      {review?.sections.map(({ title, items }) => (
        <section key={title}>
          <h2>{title}</h2>
          <ul>
            {items.map((item, index) => (
              <Line key={index} item={item} reveal={() => item.range && post({ kind: 'reveal', range: item.range })} />
            ))}
          </ul>
        </section>
      ))}
      {review ? <footer>{CLOSING}</footer> : null}
    </main>
  );
}

function Line({ item, reveal }: { readonly item: ReviewLine; readonly reveal: () => void }) {
  const words = item.sentence.split('`').map((part, index) => (index % 2 === 1 ? <code key={index}>{part}</code> : part));
  return (
    <li class={item.tone}>
      {item.range ? (
        <button type="button" class="sentence" onClick={reveal} title="Show it in the text">
          {words}
        </button>
      ) : (
        <span>{words}</span>
      )}
      {item.check ? <span class="check"> {item.check}</span> : null}
      {item.walk || item.before || item.after ? (
        <dl>
          <Under label="Walk" text={item.walk} />
          <Under label="Before" text={item.before} />
          <Under label="Now" text={item.after} />
        </dl>
      ) : null}
    </li>
  );
}

function Under({ label, text }: { readonly label: string; readonly text: string | undefined }) {
  if (text === undefined) return null;
  return (
    <div>
      <dt>{label}</dt>
      <dd>{text}</dd>
    </div>
  );
}
