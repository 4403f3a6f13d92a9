/**
 * Everything that is known of a vessel's fermentation and pressure, as a list of terms, with how each
 * forecast was made. What is not known is left out, never shown as a blank. Props in, HTML out.
 */
import type { Child } from 'hono/jsx';
import type { FermentationStatus, PressureStatus } from '../../monitoring/status.ts';
import { asSentence } from '../../monitoring/words/sentence.ts';
import type { Estimate } from '../../science/estimate.ts';
import { phaseWords, vesselWords } from '../messages.ts';
import { Moment } from './moment.tsx';
import { barText, extractText, gravityText, numberText, percentText } from './quantity.ts';

const words = vesselWords.facts;

const Fact = ({ term, children }: { readonly term: string; readonly children?: Child }) => (
  <div>
    <dt>{term}</dt>
    <dd>{children}</dd>
  </div>
);

const Known = ({ term, text }: { readonly term: string; readonly text: string | null }) =>
  text === null ? null : <Fact term={term}>{text}</Fact>;

const When = ({ term, at }: { readonly term: string; readonly at: Estimate }) => (
  <Fact term={term}>
    <Moment at={at.value} />
    <span class="bounds">
      {`${vesselWords.between} `}
      <Moment at={at.low} />
      {` ${vesselWords.and} `}
      <Moment at={at.high} />
    </span>
  </Fact>
);

const shown = (value: number | null, text: (value: number) => string): string | null =>
  value === null ? null : text(value);

export const FermentationFacts = ({ status }: { readonly status: FermentationStatus }) => (
  <div class="facts">
    <dl>
      <Fact term={words.phase}>{phaseWords[status.phase]}</Fact>
      <Known
        term={words.gravity}
        text={shown(status.presentGravity, (value) => `${gravityText(value)} SG`)}
      />
      <Known term={words.extract} text={shown(status.presentExtractPlato, extractText)} />
      {status.terminalGravity === null ? null : (
        <Fact term={words.terminal}>
          {`${gravityText(status.terminalGravity.value)} SG`}
          <span class="bounds">
            {vesselWords.band(
              gravityText(status.terminalGravity.low),
              gravityText(status.terminalGravity.high),
            )}
          </span>
        </Fact>
      )}
      {status.finishAt === null ? null : <When term={words.finish} at={status.finishAt} />}
      <Known
        term={words.apparent}
        text={shown(status.apparentAttenuation, (value) => percentText(value))}
      />
      <Known
        term={words.real}
        text={shown(status.realAttenuation, (value) => percentText(value))}
      />
      <Known
        term={words.alcohol}
        text={shown(status.alcoholByVolumePercent, (value) => percentText(value / 100, 1))}
      />
    </dl>
    <p class="basis">
      <strong>{vesselWords.why}</strong> {asSentence(status.basis)}
    </p>
  </div>
);

export const PressureFacts = ({ status }: { readonly status: PressureStatus }) => (
  <div class="facts">
    <dl>
      <Known term={words.pressure} text={shown(status.gaugePressurePascal, barText)} />
      <Known term={words.settles} text={shown(status.equilibriumGaugePressurePascal, barText)} />
      <Known
        term={words.volumes}
        text={shown(status.carbonationVolumes, (value) => `${numberText(value, 2)} volumes`)}
      />
      <Known term={words.share} text={shown(status.shareOfRating, (value) => percentText(value))} />
      {status.crossingAt === null ? (
        <Fact term={words.crossing}>{vesselWords.noCrossing}</Fact>
      ) : (
        <When term={words.crossing} at={status.crossingAt} />
      )}
    </dl>
    <p class="basis">
      <strong>{vesselWords.why}</strong> {asSentence(status.basis)}
    </p>
  </div>
);
