/**
 * How far along a batch is, or how near a pressure is to its rating: a rule that thickens from the
 * left. A rating is a post part of the way along, so that what is over it is seen to be over it.
 * The words beside it say the same, so it is hidden from screen readers. Props in, HTML out.
 */
import { type HeadlineWay, mostOfRating } from './headline.ts';

const along = (way: HeadlineWay): number =>
  way.to === 'rating' ? (way.share / mostOfRating) * 100 : way.share * 100;

export const Way = ({ way }: { readonly way: HeadlineWay }) => (
  <svg
    class={way.to === 'rating' && way.share > 1 ? 'way way-over' : 'way'}
    viewBox="0 0 100 8"
    preserveAspectRatio="none"
    aria-hidden="true"
    focusable="false"
  >
    <rect class="way-whole" x="0" y="3.5" width="100" height="1" />
    <rect class="way-gone" x="0" y="1" width={along(way).toFixed(1)} height="6" />
    {way.to === 'rating' ? (
      <rect
        class="way-post"
        x={(100 / mostOfRating - 0.4).toFixed(1)}
        y="0"
        width="0.8"
        height="8"
      />
    ) : null}
  </svg>
);
