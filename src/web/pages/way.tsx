/**
 * How far along a batch is, or how near a pressure is to its rating: a rule that thickens from the
 * left. The words beside it say the same, so it is hidden from screen readers. Props in, HTML out.
 */
export const Way = ({ share }: { readonly share: number }) => (
  <svg
    class="way"
    viewBox="0 0 100 6"
    preserveAspectRatio="none"
    aria-hidden="true"
    focusable="false"
  >
    <rect class="way-whole" x="0" y="2.5" width="100" height="1" />
    <rect class="way-gone" x="0" y="0" width={(share * 100).toFixed(1)} height="6" />
  </svg>
);
