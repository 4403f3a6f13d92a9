/** The sheet's own colours and type for the canvas, read when drawn, so that light and dark both hold. */
export type ColourName =
  | '--ink'
  | '--ink-soft'
  | '--rule'
  | '--accent'
  | '--high'
  | '--paper'
  | '--reading-fill'
  | '--forecast-fill';

export const colour = (name: ColourName): string =>
  getComputedStyle(document.documentElement).getPropertyValue(name).trim();

export const canvasFont = (sizePixel: number): string =>
  `${sizePixel}px ${getComputedStyle(document.body).fontFamily}`;
