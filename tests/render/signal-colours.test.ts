import { expect, test } from 'vitest';
import { SIGNAL_COLOURS, SIGNAL_WORDS } from '../../server/src/render/signal-colours.ts';

/** Contrast ratio of two colours as WCAG 2.2 defines it (relative luminance, 1.4.3). */
function contrast(one: string, other: string): number {
  const luminance = (colour: string): number => {
    const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
      const channel = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
      return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  };
  const [light, dark] = [luminance(one), luminance(other)].sort((a, b) => b - a) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

test('the measure itself: black on white is 21 to 1', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 5);
  expect(contrast('#777777', '#ffffff')).toBeCloseTo(4.48, 2);
});

test.each(SIGNAL_WORDS)('%s can be read: at least 4.5 to 1', (word) => {
  expect(contrast(SIGNAL_COLOURS[word].ink, SIGNAL_COLOURS[word].ground)).toBeGreaterThanOrEqual(4.5);
});
