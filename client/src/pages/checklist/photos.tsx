/**
 * Pictures as evidence: taken or chosen, made smaller on the page, kept with the run before the entry that names them, and shown
 * with their captions. One that is taken away stays among the events and counts no more.
 */
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import { fileDigest } from '../../../../server/src/run/digest.ts';
import { dataUri } from './bytes.ts';
import type { ChecklistHost, KeptPhoto } from './host.ts';
import type { Session } from './session.ts';
import { WORDS } from './words.ts';

/** The longer side, in pixels: enough to read a plate, and some 200 KB as a JPEG. */
const LONGEST_SIDE = 1600;
const QUALITY = 0.8;

interface PhotoPartProps {
  readonly host: ChecklistHost;
  readonly session: Session;
  /** What the procedure wants to see. */
  readonly wanted?: string;
}

export function PhotoPart({ host, session, wanted }: PhotoPartProps) {
  const [picture, setPicture] = useState<KeptPhoto>();
  const [caption, setCaption] = useState('');
  const [told, setTold] = useState<string>();
  const chooser = useRef<HTMLInputElement>(null);
  const title = useId();
  if (!host.keepPhoto && !wanted) return null;

  async function choose(file: File | undefined): Promise<void> {
    setTold(undefined);
    setPicture(undefined);
    if (!file) return;
    try {
      setPicture(await madeSmaller(file, nextName(session)));
    } catch {
      setTold(WORDS.photoUnreadable);
    }
  }

  async function add(): Promise<void> {
    if (!picture || !host.keepPhoto) return;
    // First the picture, then the entry that names it: no entry is left without its picture.
    try {
      await host.keepPhoto(session.runId, picture);
    } catch (error) {
      setTold(`${WORDS.photoNotKept} ${error instanceof Error ? error.message : ''}`.trim());
      return;
    }
    const { name, digest } = picture;
    const refused = await session.send({ kind: 'photo', name, digest, ...(caption.trim() ? { caption: caption.trim() } : {}) });
    setTold(refused ?? WORDS.photoKept);
    if (refused !== undefined) return;
    setPicture(undefined);
    setCaption('');
    if (chooser.current) chooser.current.value = '';
  }

  return (
    <section class="photos" aria-labelledby={title} data-test="photos">
      <h3 id={title}>{wanted ? WORDS.photo : WORDS.photoTitle}</h3>
      {wanted && <p>{wanted}</p>}
      {host.keepPhoto && (
        <label class="field-line">
          <span>{WORDS.photoTake}</span>
          <input
            type="file"
            class="wide"
            accept="image/*"
            data-test="photo-file"
            ref={chooser}
            onChange={(event) => void choose(event.currentTarget.files?.[0])}
          />
        </label>
      )}
      {picture && (
        <>
          <img class="photo" src={dataUri(picture.type, picture.bytes)} alt={WORDS.photoPreview} />
          <label class="field-line">
            <span>{WORDS.photoCaption}</span>
            <input
              type="text"
              class="wide"
              maxLength={500}
              autoComplete="off"
              data-test="photo-caption"
              value={caption}
              onInput={(event) => setCaption(event.currentTarget.value)}
              onKeyDown={(event) => {
                if (event.key !== 'Enter') return;
                // It belongs to the picture, and must not press the large button of the step.
                event.preventDefault();
                void add();
              }}
            />
          </label>
          <button type="button" class="plain strong" data-test="photo-add" onClick={() => void add()}>
            {WORDS.photoAdd}
          </button>
        </>
      )}
      <p role="status" class="told">
        {told}
      </p>
      <ul class="lines">
        {photosOf(session).map((photo) => (
          <li key={photo.name} data-test="photo">
            <Shown host={host} runId={session.runId} name={photo.name} caption={photo.caption} />
            <button
              type="button"
              class="plain"
              data-test="photo-remove"
              aria-label={WORDS.photoRemoveNamed(photo.caption ?? photo.name)}
              onClick={() => void session.send({ kind: 'photo', name: photo.name, removed: true }).then(setTold)}
            >
              {WORDS.photoRemove}
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Shown({
  host,
  runId,
  name,
  caption,
}: {
  readonly host: ChecklistHost;
  readonly runId: string;
  readonly name: string;
  readonly caption: string | undefined;
}) {
  const [source, setSource] = useState<string>();
  useEffect(() => {
    void host.photo?.(runId, name).then(
      (photo) => photo && setSource(dataUri(photo.type, photo.bytes)),
      () => undefined,
    );
  }, [host, runId, name]);
  return (
    <figure class="figure">
      {source && <img class="photo" src={source} alt={caption ?? WORDS.photoAt(name)} />}
      <figcaption>{caption ?? name}</figcaption>
    </figure>
  );
}

/** The pictures that count, oldest first. */
function photosOf(session: Session): { name: string; caption: string | undefined }[] {
  const photos = new Map<string, string | undefined>();
  for (const event of session.events) {
    if (event.kind !== 'photo') continue;
    if (event.removed) photos.delete(event.name);
    else photos.set(event.name, event.caption);
  }
  return [...photos].map(([name, caption]): { name: string; caption: string | undefined } => ({ name, caption }));
}

/** Never that of another picture of the run, whether it was taken away or not. */
function nextName(session: Session): string {
  const count = session.events.filter((event) => event.kind === 'photo').length + 1;
  return `photo-${String(count).padStart(2, '0')}.jpg`;
}

/** The picture as a JPEG of bounded size, upright. What a camera wrote beside it (place, time, maker) stays behind. */
async function madeSmaller(file: File, name: string): Promise<KeptPhoto> {
  const image = await createImageBitmap(file, { imageOrientation: 'from-image' });
  const scale = Math.min(1, LONGEST_SIDE / Math.max(image.width, image.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(image.width * scale));
  canvas.height = Math.max(1, Math.round(image.height * scale));
  const context = canvas.getContext('2d');
  if (!context) throw new Error('No drawing here.');
  // A transparent picture becomes a black one otherwise.
  context.fillStyle = '#ffffff';
  context.fillRect(0, 0, canvas.width, canvas.height);
  context.drawImage(image, 0, 0, canvas.width, canvas.height);
  image.close();
  const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, 'image/jpeg', QUALITY));
  if (!blob) throw new Error('No picture came of it.');
  const bytes = new Uint8Array(await blob.arrayBuffer());
  return { name, type: 'image/jpeg', digest: fileDigest(bytes), bytes };
}
