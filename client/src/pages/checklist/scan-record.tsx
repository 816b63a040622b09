/** The record as a code on the screen, for a device that takes it without a network. */
import { scanCode } from '../../../../server/src/render/scan-code.ts';
import type { Filed } from './host.ts';
import { WORDS } from './words.ts';

export function ScanRecord({ scan }: { readonly scan: NonNullable<Filed['scan']> }) {
  if (scan.text === undefined) return <p class="quiet">{WORDS.scanTooLarge}</p>;
  const { size, path } = scanCode(scan.text, 'L');
  return (
    <details class="scan-record" data-test="scan-record">
      <summary>{WORDS.scanTitle}</summary>
      <p>{WORDS.scanHelp}</p>
      {scan.photos && <p>{WORDS.scanPhotos}</p>}
      <svg viewBox={`0 0 ${size} ${size}`} role="img" aria-label={WORDS.scanAlt} shape-rendering="crispEdges">
        <path d={`M0 0h${size}v${size}h-${size}z`} class="scan-ground" />
        <path d={path} class="scan-marks" />
      </svg>
    </details>
  );
}
